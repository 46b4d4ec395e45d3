"""Two people at one space, each on a page of their own."""

import pytest
from django.test import Client as Browser

from studio.clients.models import Space
from studio.commissions.models import Option
from tests.two_tabs import fields_of


@pytest.fixture
def place(option: Option) -> str:
    return f"/clients/spaces/{option.commission.space.public_id}/"


def space() -> Space:
    return Space.objects.get()


def test_a_stale_page_does_not_turn_590_back_to_600_nor_the_price(
    signed_in: Browser, tam: Browser, option: Option, place: str
) -> None:
    stale = fields_of(signed_in.get(place), notes="the light switch is on the left")
    tam.post(place, fields_of(tam.get(place), space__widths_mm__0="590"))
    price = Option.objects.get().gross_minor
    assert price != option.gross_minor
    page = signed_in.post(place, stale, follow=True).content.decode()
    assert "The space is saved. Tam changed width meanwhile: kept." in page
    assert (space().document["widths_mm"], space().notes) == (["590"], "the light switch is on the left")
    assert Option.objects.get().gross_minor == price


@pytest.mark.parametrize(("choice", "width"), [("mine", "580"), ("theirs", "590")])
def test_both_values_are_shown_and_one_is_chosen(
    signed_in: Browser, tam: Browser, place: str, choice: str, width: str
) -> None:
    stale = fields_of(signed_in.get(place), space__widths_mm__0="58 cm", notes="on the left")
    tam.post(place, fields_of(tam.get(place), space__widths_mm__0="590", space__gap_mm="6 mm"))
    asked = signed_in.post(place, stale)
    page = asked.content.decode()
    assert asked.status_code == 409
    assert "typed here: <b>58 cm</b>" in page
    assert "saved by Tam: <b>590</b>" in page
    assert "Tam changed gap meanwhile: kept." in page
    assert 'value="6 mm"' in page
    assert space().document["widths_mm"] == ["590"]
    again = fields_of(asked)
    assert again["notes"] == "on the left"
    assert signed_in.post(place, again).status_code == 409  # nobody has chosen
    assert signed_in.post(place, again | {"choose.0": choice}).status_code == 302
    assert (space().document["widths_mm"], space().notes) == ([width], "on the left")
    assert space().document["gap_mm"] == "6"


def test_a_choice_holds_only_for_what_was_seen(signed_in: Browser, tam: Browser, place: str) -> None:
    stale = fields_of(signed_in.get(place), space__widths_mm__0="580")
    tam.post(place, fields_of(tam.get(place), space__widths_mm__0="590"))
    chosen = fields_of(signed_in.post(place, stale)) | {"choose.0": "mine"}
    tam.post(place, fields_of(tam.get(place), space__widths_mm__0="570"))
    asked = signed_in.post(place, chosen)
    assert asked.status_code == 409
    assert "saved by Tam: <b>570</b>" in asked.content.decode()
    assert signed_in.post(place, fields_of(asked) | {"choose.0": "mine"}).status_code == 302
    assert space().document["widths_mm"] == ["580"]


def test_a_length_that_is_typed_anew_is_no_change(signed_in: Browser, tam: Browser, place: str) -> None:
    stale = fields_of(signed_in.get(place), space__widths_mm__0="60 cm")
    tam.post(place, fields_of(tam.get(place), space__widths_mm__0="590"))
    assert signed_in.post(place, stale).status_code == 302
    assert space().document["widths_mm"] == ["590"]


def test_what_does_not_go_together_is_shown_together(signed_in: Browser, tam: Browser, place: str) -> None:
    """One says that it was only said, the other has measured a second time."""
    stale = fields_of(signed_in.get(place), space__width_origin="said")
    tam.post(place, fields_of(tam.get(place), space__widths_mm__1="598"))
    asked = signed_in.post(place, stale)
    assert asked.status_code == 422
    page = asked.content.decode()
    assert "Two widths are typed: are they measured?" in page
    assert 'value="598"' in page
    assert "Tam changed width meanwhile: kept." in page
    assert signed_in.post(place, fields_of(asked, space__width_origin="taped by us")).status_code == 302
    assert space().document["widths_mm"] == ["600", "598"]


@pytest.mark.parametrize(
    "made_from", ["", "{", "[]", '{"space": 3}', '{"space.widths_mm.0": {}}', "[" * 9000]
)
def test_without_what_it_was_made_from_a_page_changes_nothing_unseen(
    signed_in: Browser, place: str, made_from: str
) -> None:
    typed = fields_of(signed_in.get(place), space__widths_mm__0="580", made_from=made_from)
    asked = signed_in.post(place, typed)
    assert asked.status_code == 409
    assert "saved by somebody else: <b>600 mm</b>" in asked.content.decode()
    assert space().document["widths_mm"] == ["600"]


@pytest.mark.parametrize(
    "seen",
    [
        "{",
        "[[[], 1]]",
        '[[["space", 3], "x", true]]',
        '[[["a", "b", "c"], "", true]]',
        '[[["name"], "", true]]',
    ],
)
def test_what_no_page_posts(signed_in: Browser, place: str, seen: str) -> None:
    typed = fields_of(signed_in.get(place), seen=seen, notes="n") | {"choose.0": "mine", "choose.x": "y"}
    assert signed_in.post(place, typed).status_code in (302, 409, 422)
    assert space().name == "an empty stretch of wall"


def test_strangers(client: Browser, option: Option, place: str) -> None:
    stale = fields_of(client.get(place), notes="x")  # the owner's browser
    client.logout()
    assert client.post(place, stale)["Location"].startswith("/sign-in/")
    assert space().notes == ""
