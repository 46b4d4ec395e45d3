"""Options added, taken away and undone; drawings at addresses of their own."""

from decimal import Decimal
from xml.etree import ElementTree as ET

import pytest
from django.db import IntegrityError, transaction
from django.db.models import ProtectedError
from django.test import Client as Browser

from studio.commissions.estimating import estimate_option
from studio.commissions.light_words import light_words
from studio.commissions.models import Option, OptionChange
from studio.voice import PLAIN
from studio.workshop.clock import today
from tests.commissions.conftest import Words, undo


def test_a_copy_takes_the_first_free_letter(signed_in: Browser, option: Option, address: str) -> None:
    for letter in "BCD":
        assert signed_in.post(f"{address}copy/")["Location"].endswith(f"/options/{letter}/")
    assert signed_in.post(f"{address}copy/")["Location"] == address
    assert "four options already" in signed_in.get(address).content.decode()
    signed_in.post(address.replace("/A/", "/B/remove/"))
    assert signed_in.post(f"{address}copy/")["Location"].endswith("/options/B/")
    assert {each.gross_minor for each in Option.objects.all()} == {option.gross_minor}


def test_the_last_option_stays(signed_in: Browser, option: Option, address: str) -> None:
    signed_in.post(f"{address}remove/")
    assert Option.objects.count() == 1


def test_a_removed_option_is_out_of_sight_and_comes_back(
    signed_in: Browser, option: Option, address: str, words: Words
) -> None:
    b = address.replace("/A/", "/B/")
    signed_in.post(f"{address}copy/")
    signed_in.post(b, words(**{"design.depth_mm": "15 mm"}))
    page = signed_in.post(f"{b}remove/", follow=True).content.decode()
    assert "Option B is removed." in page
    assert "Bring option B back" in page
    assert signed_in.get(b).status_code == 404
    assert [each.letter for each in option.commission.options.all()] == ["A"]
    signed_in.post(address, words(**{"space.widths_mm.0": "900 mm"}))
    assert signed_in.post(f"{b}back/")["Location"] == b
    a, back = Option.objects.all()
    assert (back.letter, back.design["depth_mm"], back.changes.count()) == ("B", "15", 2)
    undo(signed_in, b)
    assert Option.objects.get(letter="B").gross_minor == a.gross_minor  # in the space as it is now
    assert "Bring option B back" not in signed_in.get(address).content.decode()


def test_an_option_comes_back_under_a_free_letter(signed_in: Browser, option: Option, address: str) -> None:
    b = address.replace("/A/", "/B/")
    signed_in.post(f"{address}copy/")
    signed_in.post(f"{b}remove/")
    signed_in.post(f"{address}copy/")
    assert signed_in.post(f"{b}back/")["Location"].endswith("/options/C/")
    assert signed_in.post(f"{b}back/")["Location"] == f"/commissions/{option.commission.public_id}/"
    assert "No option B is removed." in signed_in.get(address).content.decode()


def test_one_word_tells_options_apart(signed_in: Browser, option: Option, address: str, words: Words) -> None:
    signed_in.post(f"{address}copy/")
    signed_in.post(address.replace("/A/", "/B/"), words(**{"design.lit": "on", "design.backing": "diffuser"}))
    page = signed_in.get(address).content.decode()
    assert '<span class="small">lit</span>' in page


def test_a_light_is_said_in_a_sentence(
    signed_in: Browser, option: Option, address: str, words: Words
) -> None:
    """Of a panel that is lit; how it is laid is chosen on the page."""
    lit = {"design.lit": "on", "design.backing": "diffuser", "design.light_layout": "round the edge"}
    assert "of Light strip" not in signed_in.get(address).content.decode()
    signed_in.post(address, words(**lit, **{"terms.light_price_per_kwh": "0.31"}))
    found = estimate_option(Option.objects.get(pk=option.pk), today())
    assert found.light is not None
    assert (found.light.layout, found.brief.terms.light_price_per_kwh) == ("round the edge", Decimal("0.31"))
    page = signed_in.get(address).content.decode()
    assert light_words(found.light, PLAIN) in page
    assert all(
        f'name="design.light_{field}"' in page for field in ("layout", "strip", "control", "diffuser_mm")
    )


def test_undo_goes_back_one_change_at_a_time(
    signed_in: Browser, option: Option, address: str, words: Words
) -> None:
    for depth in ("15 mm", "18 mm"):
        signed_in.post(address, words(**{"design.depth_mm": depth}))
    assert "Undo: depth 18 mm → 15 mm<" in signed_in.get(address).content.decode()
    depths = []
    for _ in range(3):
        undo(signed_in, address)
        depths.append(Option.objects.get(pk=option.pk).design["depth_mm"])
    assert depths == ["15", "12", "12"]
    signed_in.post(address, words(**{"design.depth_mm": "20 mm"}))
    undo(signed_in, address)
    assert Option.objects.get(pk=option.pk).design["depth_mm"] == "12"
    assert option.changes.count() == 7


def test_history_cannot_be_rewritten(option: Option) -> None:
    with pytest.raises(IntegrityError), transaction.atomic():
        OptionChange.objects.update(design={})
    with pytest.raises(IntegrityError), transaction.atomic():
        OptionChange.objects.all().delete()
    with pytest.raises(ProtectedError):
        option.delete()


@pytest.mark.parametrize("name", ["elevation", "thumbnail"])
def test_drawings(signed_in: Browser, option: Option, address: str, name: str) -> None:
    answer = signed_in.get(f"{address}{name}.svg", {"revision": option.revision})
    assert answer["Content-Type"].startswith("image/svg+xml")
    assert answer["Cache-Control"] == "private, max-age=86400"
    assert ET.fromstring(answer.content.decode()).tag.endswith("svg")
    assert signed_in.get(f"{address}{name}.svg")["Cache-Control"] == "private, no-cache"


@pytest.mark.parametrize("name", ["elevation.svg", "thumbnail.svg"])
def test_strangers_see_no_drawing(client: Browser, signed_in: Browser, address: str, name: str) -> None:
    signed_in.logout()
    assert client.get(address + name)["Location"].startswith("/sign-in/")
