"""Two people at one option, each with its call page open."""

from html import unescape

import pytest
from django.test import Client as Browser

from studio.clients.models import Space
from studio.commissions.models import Commission, Option
from tests.commissions.conftest import Words, undo
from tests.two_tabs import fields_of

HTMX = {"HX-Request": "true"}
TYPING = {**HTMX, "X-Typing": "on"}


def design() -> dict:
    return Option.objects.get().design


def test_another_word_terms_and_the_space_are_all_kept(
    signed_in: Browser, tam: Browser, address: str, words: Words
) -> None:
    stale = words(**{"design.depth_mm": "15 mm"})
    theirs = {"design.cell_side_mm": "60 mm", "terms.delivery": "collected", "space.gap_mm": "8 mm"}
    assert tam.post(address, words(**theirs), headers=HTMX).status_code == 200
    answer = signed_in.post(address, stale, headers=HTMX)
    page = answer.content.decode()
    assert answer.status_code == 200
    assert "Tam changed gap, cell side, delivery meanwhile: kept." in page
    assert 'id="words"' in page  # with their words in it
    assert 'name="design.cell_side_mm" type="text" value="60 mm"' in page
    assert (design()["cell_side_mm"], design()["depth_mm"]) == ("60", "15")
    assert Commission.objects.get().terms["delivery"] == "collected"
    assert Space.objects.get().document["gap_mm"] == "8"


@pytest.mark.parametrize("headers", [HTMX, {}])
@pytest.mark.parametrize(("choice", "depth"), [("mine", "15"), ("theirs", "10")])
def test_one_word_changed_by_both_is_chosen(
    signed_in: Browser, tam: Browser, address: str, words: Words, choice: str, depth: str, headers: dict
) -> None:
    stale = words(**{"design.depth_mm": "15 mm", "design.cell_side_mm": "50 mm"})
    tam.post(address, words(**{"design.depth_mm": "1 cm", "terms.referral": "on"}), headers=HTMX)
    asked = signed_in.post(address, stale, headers=headers)
    page = asked.content.decode()
    assert asked.status_code == 409
    assert "typed here: <b>15 mm</b>" in page
    assert "saved by Tam: <b>10 mm</b>" in page
    assert "Tam changed referral meanwhile: kept." in page
    assert 'id="drawing"' in page  # as it stands
    assert (design()["depth_mm"], design()["cell_side_mm"]) == ("10", "44")
    again = fields_of(asked)
    assert (again["design.depth_mm"], again["design.cell_side_mm"]) == ("15 mm", "50 mm")
    assert signed_in.post(address, again, headers=headers).status_code == 409  # nobody has chosen
    saved = signed_in.post(address, again | {"choose.0": choice}, headers=headers)
    assert saved.status_code == (200 if headers else 302)
    assert (design()["depth_mm"], design()["cell_side_mm"]) == (depth, "50")
    assert Commission.objects.get().terms["referral"]


def test_who_changed_a_space_or_terms_is_named(
    signed_in: Browser, tam: Browser, address: str, words: Words
) -> None:
    stale = words(**{"space.gap_mm": "7 mm", "terms.distance_km": "4"})
    signed_in.post(address, words(**{"space.gap_mm": "8 mm"}), headers=HTMX)
    tam.post(address, words(**{"terms.distance_km": "5"}), headers=HTMX)
    page = signed_in.post(address, stale, headers=HTMX).content.decode()
    assert "saved by you: <b>8 mm</b>" in page
    assert "saved by Tam: <b>5</b>" in page


def test_an_arrangement_is_taken_whole_where_both_changed_it(
    signed_in: Browser, tam: Browser, address: str, words: Words
) -> None:
    stale = words(**{"design.arrangement.border_cells": "3"})
    tam.post(address, words(**{"design.arrangement.kind": "bands"}), headers=HTMX)
    asked = signed_in.post(address, stale, headers=HTMX)
    page = unescape(asked.content.decode())
    assert asked.status_code == 409
    assert "typed here: <b>with a border, " in page
    assert "saved by Tam: <b>in bands, " in page
    again = fields_of(asked)
    signed_in.post(address, again | {"choose.0": "theirs"}, headers=HTMX)
    assert design()["arrangement"]["kind"] == "bands"
    signed_in.post(address, again | {"choose.0": "mine"}, headers=HTMX)
    assert design()["arrangement"]["border_cells"] == 3


def test_words_within_one_arrangement_are_merged(
    signed_in: Browser, tam: Browser, address: str, words: Words
) -> None:
    stale = words(**{"design.arrangement.border_cells": "3"})
    tam.post(address, words(**{"design.arrangement.border.filament": "Tea"}), headers=HTMX)
    assert signed_in.post(address, stale, headers=HTMX).status_code == 200
    arrangement = design()["arrangement"]
    assert (arrangement["border_cells"], arrangement["border"]["filament"]) == (3, "Tea")


def test_another_lattice_does_not_swallow_a_colleagues_pattern(
    signed_in: Browser, tam: Browser, address: str, words: Words
) -> None:
    stale = words(**{"design.lattice": "square"})
    tam.post(address, words(**{"design.arrangement.border.pattern": "tortoiseshell"}), headers=HTMX)
    asked = signed_in.post(address, stale, headers=HTMX)
    assert asked.status_code == 409
    assert "tortoiseshell" in asked.content.decode()
    signed_in.post(address, fields_of(asked) | {"choose.0": "mine"}, headers=HTMX)
    assert design()["lattice"] == "square"


def test_what_is_typed_the_same_in_another_unit_is_no_clash(
    signed_in: Browser, tam: Browser, address: str, words: Words
) -> None:
    stale = words(**{"design.depth_mm": "1,5 cm"})
    tam.post(address, words(**{"design.depth_mm": "15 mm"}), headers=HTMX)
    assert signed_in.post(address, stale, headers=HTMX).status_code == 200
    assert design()["depth_mm"] == "15"


def test_nobody_is_asked_within_a_word(signed_in: Browser, tam: Browser, address: str, words: Words) -> None:
    stale = words(**{"design.depth_mm": "15"})
    tam.post(address, words(**{"design.depth_mm": "10"}), headers=HTMX)
    assert signed_in.post(address, stale, headers=TYPING).status_code == 204
    assert design()["depth_mm"] == "10"


def test_bad_words_beside_a_merge_stay_typed(
    signed_in: Browser, tam: Browser, address: str, words: Words
) -> None:
    stale = words(**{"design.depth_mm": "deep"})
    tam.post(address, words(**{"design.cell_side_mm": "60 mm"}), headers=HTMX)
    asked = signed_in.post(address, stale, headers=HTMX)
    page = asked.content.decode()
    assert asked.status_code == 422
    assert "“deep” is not a length." in page
    assert 'value="60 mm"' in page
    assert "Tam changed cell side meanwhile: kept." in page
    assert signed_in.post(address, fields_of(asked, design__depth_mm="15 mm")).status_code == 302
    assert (design()["cell_side_mm"], design()["depth_mm"]) == ("60", "15")


def test_a_page_that_says_nothing_of_its_past_overwrites_nothing(
    signed_in: Browser, address: str, words: Words
) -> None:
    for made_from in ("", "[]", "{"):
        typed = words(**{"design.depth_mm": "15 mm", "made_from": made_from})
        assert signed_in.post(address, typed, headers=HTMX).status_code == 409
    assert design()["depth_mm"] == "12"


def test_strangers(client: Browser, signed_in: Browser, address: str, words: Words) -> None:
    stale = words(**{"design.depth_mm": "15 mm"})
    client.logout()
    assert client.post(address, stale)["Location"].startswith("/sign-in/")
    assert design()["depth_mm"] == "12"


CELL = {"cell.column": "3", "cell.row": "5", "cell.filament": "Tea", "change": "set cell"}
WEB, LEAF = ({**CELL, "cell.pattern": pattern} for pattern in ("web", "hemp-leaf"))


def cells() -> list[tuple[int, int, str]]:
    return [(each["column"], each["row"], each["infill"]["pattern"]) for each in design()["touch_ups"]]


@pytest.mark.parametrize("headers", [HTMX, {}])
@pytest.mark.parametrize("button", [LEAF, {"change": "drop cell 3 5"}])
def test_one_cell_changed_by_both_is_asked_about(
    signed_in: Browser, tam: Browser, address: str, words: Words, headers: dict, button: dict
) -> None:
    stale = words(**button)
    tam.post(address, words(**WEB), headers=HTMX)
    asked = signed_in.post(address, stale, headers=headers)
    page = asked.content.decode()
    assert asked.status_code == 409
    assert "Column 3, row 5 was changed by somebody else meanwhile and is web in tea now" in page
    assert cells() == [(2, 4, "web")]
    again = signed_in.post(address, fields_of(asked) | button, headers=headers)
    assert again.status_code == (200 if headers else 302)
    assert cells() == ([(2, 4, "hemp-leaf")] if button == LEAF else [])


def test_different_cells_are_both_kept(signed_in: Browser, tam: Browser, address: str, words: Words) -> None:
    stale = words(**LEAF)
    tam.post(address, words(**{**WEB, "cell.row": "7"}), headers=HTMX)
    assert signed_in.post(address, stale, headers=HTMX).status_code == 200
    assert cells() == [(2, 6, "web"), (2, 4, "hemp-leaf")]


@pytest.mark.parametrize("marks", ["", "[]", "{", '{"2 4": 7}'])
def test_a_page_that_says_nothing_of_its_cells(
    signed_in: Browser, address: str, words: Words, marks: str
) -> None:
    signed_in.post(address, words(**WEB), headers=HTMX)
    assert signed_in.post(address, words(**LEAF, cells=marks), headers=HTMX).status_code == 409
    assert cells() == [(2, 4, "web")]


@pytest.mark.parametrize("revision", ["1", "", "x", "9" * 30])
def test_another_step_than_the_one_that_was_read_is_not_undone(
    signed_in: Browser, tam: Browser, address: str, words: Words, revision: str
) -> None:
    tam.post(address, words(**{"design.depth_mm": "10 mm"}), headers=HTMX)
    answer = signed_in.post(f"{address}undo/", {"revision": revision}, follow=True)
    assert "Somebody changed this option just now; nothing is undone." in answer.content.decode()
    assert design()["depth_mm"] == "10"
    undo(signed_in, address)
    assert design()["depth_mm"] == "12"
