"""Cells changed by hand: through fields, by a click on the drawing; listed, dropped, undone."""

from dataclasses import replace
from typing import Any

import pytest
from django.test import Client as Browser

from studio.commissions.call.single_cells import off_the_panel
from studio.commissions.estimating import design_of
from studio.commissions.models import Commission, Option
from studio.document import dump
from studio.drawing.rings import PER_MM
from studio.estimate.brief import Brief
from studio.lattice.design import Infill, TouchUp
from studio.lattice.fit import Fit, best_fit
from studio.workshop.models import PatternRevision
from studio.workshop.own_patterns import add, retire
from tests.commissions.conftest import Words, undo

pytestmark = pytest.mark.one_engine

HTMX = {"HX-Request": "true"}
SET = {
    "change": "set cell",
    "cell.column": "3",
    "cell.row": "5",
    "cell.pattern": "web",
    "cell.filament": "Indigo",
}
WEB = Infill(pattern="web", filament="Indigo")


def cells() -> list[tuple[int, int, str]]:
    touches = design_of(Option.objects.get()).touch_ups
    return [(touch.column, touch.row, touch.infill.pattern) for touch in touches]


def fit_of(option: Option) -> Fit:
    from studio.commissions.estimating import brief_of

    brief: Brief = brief_of(option)
    return best_fit(brief.design, brief.space)


@pytest.mark.parametrize("headers", [{}, HTMX])
def test_a_cell_is_changed_in_one_step(
    signed_in: Browser, option: Option, address: str, words: Words, headers: dict[str, str]
) -> None:
    answer = signed_in.post(address, words(**SET), headers=headers)
    assert answer.status_code == (200 if headers else 302)
    assert cells() == [(2, 4, "web")]
    page = (answer if headers else signed_in.get(address)).content.decode()
    assert "Column 3, row 5: web in indigo" in page
    assert "Undo: column 3, row 5 web in indigo → as arranged" in page
    assert option.changes.count() == 2
    undo(signed_in, address)
    assert cells() == []


def test_the_last_word_on_a_cell_counts_and_others_stay(
    signed_in: Browser, option: Option, address: str, words: Words
) -> None:
    signed_in.post(address, words(**SET), headers=HTMX)
    signed_in.post(address, words(**{**SET, "cell.row": "6"}), headers=HTMX)
    signed_in.post(address, words(**{**SET, "cell.pattern": "open"}), headers=HTMX)
    assert cells() == [(2, 5, "web"), (2, 4, "open")]
    assert signed_in.post(address, words(**{"design.depth_mm": "15 mm"}), headers=HTMX).status_code == 200
    page = signed_in.post(address, words(change="drop cell 3 6"), headers=HTMX).content.decode()
    assert cells() == [(2, 4, "open")]
    assert "row 6:" not in page
    assert signed_in.post(address, words(change="drop cell 77 6"), headers=HTMX).status_code == 200
    assert cells() == [(2, 4, "open")]


def test_mirrored_cells_are_made_too(signed_in: Browser, address: str, words: Words) -> None:
    even = {"design.columns": "10", "design.rows": "10", "design.arrangement.kind": "all over"}
    signed_in.post(address, words(**even), headers=HTMX)
    signed_in.post(address, words(**SET, **{"design.mirror_touch_ups": "on"}), headers=HTMX)
    page = signed_in.get(address).content.decode()
    assert 'Web, whole</td><td>Indigo</td><td class="number">4 +' in page


@pytest.mark.parametrize(
    ("typed", "field", "said"),
    [
        ({"cell.column": ""}, "cell-column", "whole number"),
        ({"cell.column": "0"}, "cell-column", "at least 1"),
        ({"cell.column": "-3"}, "cell-column", "at least 1"),
        ({"cell.column": "999"}, "cell-column", "columns of cells. Give 1 to "),
        ({"cell.column": "9" * 5000}, "cell-column", "give"),
        ({"cell.row": "many"}, "cell-row", "whole number"),
        ({"cell.row": "900"}, "cell-row", "rows of cells. Give 1 to "),
        ({"cell.pattern": ""}, "cell-pattern", "at least 1"),
        ({"cell.filament": "x" * 99}, "cell-filament", "at most 80"),
    ],
)
def test_what_is_no_cell_is_said_there_and_stays_typed(
    signed_in: Browser,
    option: Option,
    address: str,
    words: Words,
    typed: dict[str, str],
    field: str,
    said: str,
) -> None:
    wrong = words(**{**SET, **typed})
    answer = signed_in.post(address, wrong, headers=HTMX)
    page = answer.content.decode()
    assert answer.status_code == 422
    told = page.partition(f'id="f-{field}-p" hx-swap-oob="true">')[2].partition("</span>")[0]
    assert said.casefold() in told.casefold()
    assert 'id="drawing"' not in page
    whole = signed_in.post(address, wrong)
    assert whole.status_code == 422
    assert f'id="f-{field}"' in whole.content.decode()
    assert '<details id="single-cells" open>' in whole.content.decode()
    assert Option.objects.get().design == option.design


def test_colours_and_patterns_that_are_not_there(
    signed_in: Browser, option: Option, address: str, words: Words
) -> None:
    for typed in ({"cell.pattern": "well-crib"}, {"cell.filament": "Gold"}):
        assert signed_in.post(address, words(**{**SET, **typed}), headers=HTMX).status_code == 422
    assert Option.objects.get().design == option.design


def test_a_diamond_lattice_has_every_second_address(signed_in: Browser, address: str, words: Words) -> None:
    signed_in.post(address, words(**{"design.lattice": "diamond"}), headers=HTMX)
    here = {**SET, "cell.pattern": "open", "cell.row": "6"}
    page = signed_in.post(address, words(**here), headers=HTMX).content.decode()
    assert "no cell lies in column 3, row 6. Give row 7, or the column beside it." in page
    assert signed_in.post(address, words(**{**here, "cell.row": "7"}), headers=HTMX).status_code == 200
    assert cells() == [(2, 6, "open")]


def test_cells_off_the_panel_are_listed_and_can_be_dropped(
    signed_in: Browser, address: str, words: Words
) -> None:
    signed_in.post(address, words(**SET), headers=HTMX)
    signed_in.post(address, words(**{**SET, "cell.row": "9"}), headers=HTMX)
    fewer = {"design.rows": "7", "design.arrangement.kind": "all over"}
    signed_in.post(address, words(**fewer), headers=HTMX)
    page = signed_in.get(address).content.decode()
    assert page.count('<span class="tag">no longer on the panel</span>') == 1
    assert "A cell changed by hand is no longer on the panel (column 3, row 9)" in page
    assert len(cells()) == 2
    page = signed_in.post(address, words(change="drop outside"), headers=HTMX).content.decode()
    assert cells() == [(2, 4, "web")]
    assert "no longer on the panel" not in page


def test_many_cells_off_the_panel_are_counted() -> None:
    touches = tuple(TouchUp(column=99, row=row, infill=WEB) for row in range(5))
    assert off_the_panel(()) is None
    told = off_the_panel(touches)
    assert told is not None
    assert told.reason == (
        "5 cells changed by hand are no longer on the panel "
        "(column 100, row 1; column 100, row 2; column 100, row 3 and 2 more)"
    )


def test_400_cells_are_enough(signed_in: Browser, option: Option, address: str, words: Words) -> None:
    design = design_of(option)
    full = [TouchUp(column=column, row=row, infill=WEB) for column in range(20) for row in range(100, 120)]
    option.design = dump(replace(design, touch_ups=tuple(full)))
    option.save()
    answer = signed_in.post(address, words(**SET), headers=HTMX)
    assert answer.status_code == 422
    assert "400 cells are changed by hand already. Drop some of them" in answer.content.decode()


def test_another_lattice_says_that_it_leaves_the_cells_behind(
    signed_in: Browser, address: str, words: Words
) -> None:
    signed_in.post(address, words(**SET), headers=HTMX)
    page = signed_in.post(address, words(**{"design.lattice": "square"}), headers=HTMX).content.decode()
    assert "stayed behind with the other lattice" in page
    assert cells() == []
    undo(signed_in, address)
    assert cells() == [(2, 4, "web")]
    signed_in.post(address, words(**{"design.lattice": "three-way turned"}))
    assert "stayed behind with the other lattice" in signed_in.get(address).content.decode()


def test_a_cell_and_anothers_word_are_both_kept(signed_in: Browser, address: str, words: Words) -> None:
    mine = words(**SET)
    signed_in.post(address, words(**{"design.depth_mm": "15 mm"}), headers=HTMX)
    assert signed_in.post(address, mine, headers=HTMX).status_code == 200
    assert (len(cells()), design_of(Option.objects.get()).depth_mm) == (1, 15)


def test_what_was_sold_keeps_its_cells(signed_in: Browser, address: str, words: Words) -> None:
    Commission.objects.update(stage="approved")
    assert signed_in.post(address, words(**SET), headers=HTMX).status_code == 422
    assert cells() == []


def point(option: Option, right: float, up: float) -> dict[str, str]:
    """In drawing units, from mm to the right of and above the lattice's lower left corner."""
    down = fit_of(option).lattice_height_mm - up
    return {"point.x": str(right * PER_MM), "point.y": str(down * PER_MM)}


def test_a_point_of_the_drawing_is_a_cell(signed_in: Browser, option: Option, address: str) -> None:
    fit = fit_of(option)
    keep = {"cell.pattern": "web", "cell.filament": "Indigo"}
    here = point(option, fit.across.step_mm / 2, fit.up.step_mm)  # in the middle of column 0, row 1
    answer = signed_in.get(f"{address}cell/", {**here, **keep})
    page = answer.content.decode()
    assert answer.status_code == 200
    assert 'name="cell.column" type="text" value="1"' in page
    assert 'name="cell.row" type="text" value="2"' in page
    assert '<option value="web" selected>' in page
    assert '<option value="Indigo" selected>' in page
    assert "Now basket weave in indigo." in page  # the border
    assert Option.objects.get().revision == option.revision


@pytest.mark.parametrize(
    "where",
    [
        {},
        {"point.x": "-1", "point.y": "5"},
        {"point.x": "1e9", "point.y": "5"},
        {"point.x": "nan", "point.y": "inf"},
        {"point.x": "here"},
    ],
)
def test_beside_the_lattice_is_no_cell(
    signed_in: Browser, option: Option, address: str, where: dict[str, str]
) -> None:
    assert signed_in.get(f"{address}cell/", where).status_code == 204


def test_strangers_and_posts_learn_nothing(
    client: Browser, signed_in: Browser, option: Option, address: str
) -> None:
    assert signed_in.post(f"{address}cell/").status_code == 405
    assert signed_in.get(address.replace("/A/", "/B/") + "cell/").status_code == 404
    signed_in.logout()
    assert client.get(f"{address}cell/")["Location"].startswith("/sign-in/")


def ours(**changed: Any) -> PatternRevision:
    from studio.lattice.patterns import pattern

    own = replace(pattern("web", "three-way"), slug="our-web", name="Web of Ness", **changed)
    return add(own, None)


def test_own_patterns_are_chosen_and_stay_when_they_are_retired(
    signed_in: Browser, option: Option, address: str, words: Words
) -> None:
    ours()
    chosen = {"design.arrangement.field.pattern": "our-web"}
    assert signed_in.post(address, words(**chosen), headers=HTMX).status_code == 200
    assert [own.revision for own in design_of(Option.objects.get()).own_patterns] == [1]
    retire("our-web", None)
    page = signed_in.get(address).content.decode()
    assert '<option value="our-web" selected>Web of Ness</option>' in page
    assert "Web of Ness, whole" in page
    assert signed_in.post(address, words(**{"design.depth_mm": "15 mm"}), headers=HTMX).status_code == 200
    assert (
        signed_in.post(address, words(**{**SET, "cell.pattern": "our-web"}), headers=HTMX).status_code == 200
    )
    signed_in.post(address, words(change="drop cell 3 5"), headers=HTMX)
    signed_in.post(address, words(**{"design.arrangement.field.pattern": "web"}), headers=HTMX)
    assert design_of(Option.objects.get()).own_patterns == ()
    assert "our-web" not in signed_in.get(address).content.decode()


def test_a_cell_brings_its_own_pattern(signed_in: Browser, address: str, words: Words) -> None:
    ours()
    signed_in.post(address, words(**{**SET, "cell.pattern": "our-web"}), headers=HTMX)
    assert [own.slug for own in design_of(Option.objects.get()).own_patterns] == ["our-web"]
