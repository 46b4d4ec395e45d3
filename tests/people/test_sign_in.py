"""Signing in and out: works, anonymous, wrong password, locked out, and a way back that stays on the site."""

import pytest
from django.test import Client

from studio.people.models import User
from tests.conftest import PASSWORD


def sign_in(client: Client, password: str = PASSWORD, email: str = "runa@studio.example", **extra: str):
    return client.post("/sign-in/", {"username": email, "password": password, **extra})


def test_page_is_open_to_anybody(client: Client, db: None) -> None:
    page = client.get("/sign-in/")
    assert page.status_code == 200
    assert "<h1>Sign in</h1>" in page.text


def test_right_password_opens_the_site(client: Client, owner: User) -> None:
    answer = sign_in(client)
    assert (answer.status_code, answer["Location"]) == (302, "/")
    assert client.session["_auth_user_id"] == str(owner.pk)


def test_address_is_taken_however_it_is_typed(client: Client, owner: User) -> None:
    assert sign_in(client, email=" Runa@Studio.EXAMPLE ").status_code == 302


def test_wrong_password_says_so_and_keeps_the_address(client: Client, owner: User) -> None:
    page = sign_in(client, "guess")
    assert page.status_code == 200
    assert "do not match" in page.text
    assert 'value="runa@studio.example"' in page.text
    assert "_auth_user_id" not in client.session


def test_markup_in_the_address_shows_as_text(client: Client, db: None) -> None:
    assert "&lt;b&gt;" in sign_in(client, email='"><b>').text


def test_who_left_the_studio_cannot_sign_in(client: Client, owner: User) -> None:
    User.objects.filter(pk=owner.pk).update(is_active=False)
    assert "do not match" in sign_in(client).text


def test_fifth_wrong_password_locks_even_the_right_one_out(client: Client, owner: User) -> None:
    statuses = [sign_in(client, "guess").status_code for _ in range(5)]
    assert statuses == [200, 200, 200, 200, 429]
    page = sign_in(client)
    assert page.status_code == 429
    assert "Please wait a quarter of an hour" in page.text


def test_other_case_does_not_give_more_guesses(client: Client, owner: User) -> None:
    for email in ("runa@studio.example", "RUNA@studio.example") * 2:
        sign_in(client, "guess", email)
    assert sign_in(client, "guess", "Runa@studio.example").status_code == 429


def test_lock_holds_for_one_address_only(client: Client, owner: User, maker: User) -> None:
    for _ in range(5):
        sign_in(client, "guess")
    assert sign_in(client, email=maker.email).status_code == 302


def test_success_forgets_earlier_failures(client: Client, owner: User) -> None:
    for _ in range(2):
        for _ in range(4):
            sign_in(client, "guess")
        assert sign_in(client).status_code == 302
        client.post("/sign-out/")


@pytest.mark.parametrize("elsewhere", ["https://evil.example/", "//evil.example/", "javascript:alert(1)"])
def test_way_back_never_leaves_the_site(client: Client, owner: User, elsewhere: str) -> None:
    assert sign_in(client, next=elsewhere)["Location"] == "/"


def test_way_back_within_the_site_is_kept(client: Client, owner: User) -> None:
    assert 'name="next" value="/clients/"' in client.get("/sign-in/?next=/clients/").text
    assert sign_in(client, next="/clients/")["Location"] == "/clients/"


def test_sign_out_ends_the_session_by_post_only(signed_in: Client) -> None:
    assert signed_in.get("/sign-out/").status_code == 405
    assert "_auth_user_id" in signed_in.session
    assert signed_in.post("/sign-out/")["Location"] == "/sign-in/"
    assert "_auth_user_id" not in signed_in.session


def test_form_from_elsewhere_is_refused(owner: User) -> None:
    assert sign_in(Client(enforce_csrf_checks=True)).status_code == 403
