"""NUL in what is asked and posted never reaches a view, whatever the database would say to it."""

import pytest
from django.test import Client as Browser
from django.test import RequestFactory

from studio.clients.models import Client
from studio.people.middleware import WithoutNul


@pytest.mark.parametrize("address", ["/p/%00/", "/proposals/for/%00/", "/clients/a%00b/", "/%00"])
def test_nothing_is_at_an_address_with_nul(signed_in: Browser, address: str) -> None:
    assert signed_in.get(address).status_code == 404


@pytest.mark.parametrize("address", ["/?q=%00", "/clients/?q=%00", "/commissions/new/?client=%00"])
def test_questions_with_nul_are_answered(signed_in: Browser, address: str) -> None:
    assert signed_in.get(address).status_code in (200, 404)


def test_nul_is_dropped_and_the_rest_stays(signed_in: Browser) -> None:
    signed_in.post("/clients/new/", {"name": "Mar\0ram", "ph\0one": "01632 960 123"})
    client = Client.objects.get()
    assert (client.name, client.phone) == ("Marram", "01632 960 123")


def test_signing_in_with_nul(client: Browser, db: None) -> None:
    assert client.post("/sign-in/", {"username": "a\0b@c.example", "password": "\0"}).status_code == 200


def test_lists_and_their_order_stay() -> None:
    request = RequestFactory().post(
        "/?a=1&a=2%00&b=", {"c": ["3", "4"]}, headers={"cookie": 'd="5\\0006"; e=7'}
    )
    seen = []
    without = WithoutNul(seen.append)
    without(request)
    without.process_view(request)
    assert [dict(typed.lists()) for typed in (request.GET, request.POST)] == [
        {"a": ["1", "2"], "b": [""]},
        {"c": ["3", "4"]},
    ]
    assert request.COOKIES == {"e": "7"}
