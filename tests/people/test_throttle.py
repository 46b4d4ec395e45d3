from django.test import Client, RequestFactory

from studio.people.models import User
from studio.people.throttle import client_address


def test_address_is_the_one_that_the_proxy_saw() -> None:
    request = RequestFactory().get("/", headers={"X-Forwarded-For": "10.0.0.1, 192.0.2.7"})
    assert client_address(request) == "192.0.2.7"
    assert client_address(RequestFactory().get("/")) == "127.0.0.1"


def test_behind_a_proxy_a_stranger_does_not_lock_the_owner_out(client: Client, owner: User, settings) -> None:
    settings.AXES_CLIENT_IP_CALLABLE = "studio.people.throttle.client_address"
    wrong, right = (
        {"username": owner.email, "password": word} for word in ("guess", "shavings-on-the-floor")
    )
    for _ in range(5):
        last = client.post("/sign-in/", wrong, headers={"X-Forwarded-For": "192.0.2.7"})
    assert last.status_code == 429
    assert client.post("/sign-in/", right, headers={"X-Forwarded-For": "192.0.2.8"}).status_code == 302
