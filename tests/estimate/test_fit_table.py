"""Fits side by side: what is in a row, which are priced, and that a row is what taking it gives."""

from collections import Counter
from concurrent.futures import ProcessPoolExecutor
from dataclasses import replace
from decimal import Decimal
from multiprocessing import get_context

import pytest

from studio.estimate.estimate import estimate
from studio.estimate.example import example_question
from studio.estimate.fit_table import MOST_ROWS_EACH, MOST_TRIES, fit_table
from studio.estimate.priced import price_up
from studio.lattice.design import AllOver, Infill, Space
from studio.lattice.fit import fits

QUESTION = example_question()
LATTICES = {"three-way", "three-way turned", "square", "diamond"}


def table(brief=QUESTION.brief, book=QUESTION.rate_book):
    return fit_table(brief, book, QUESTION.shop_state)


def with_design(**changes):
    return replace(QUESTION.brief, design=replace(QUESTION.brief.design, **changes))


@pytest.fixture(scope="module")
def example():
    return table()


def test_every_side_of_the_range_in_all_four_lattices(example):
    """5 % of 44 mm is 2.2: four steps of 0.5 mm either way."""
    sides = [42, 42.5, 43, 43.5, 44, 44.5, 45, 45.5, 46]
    for lattice in LATTICES:
        assert sorted(row.fit.cell_side_mm for row in example.rows if row.fit.lattice == lattice) == sides
    assert (example.more, example.unfit) == (dict.fromkeys(LATTICES, 0), ())


def test_no_fit_is_larger_than_the_opening_less_its_gaps(example):
    """Widths 1200, 1197, 1194 and heights 752, 750 with 5 mm gaps leave 1184 by 740."""
    for row in example.rows:
        assert row.fit.width_mm <= 1184
        assert row.fit.height_mm <= 740
        assert row.fit.width_mm + row.fit.left_over_mm[0] == pytest.approx(1184)


def test_ranked_by_the_larger_relative_left_over_then_by_nearness(example):
    ranks = [
        (
            round(max(row.fit.left_over_mm[0] / 1184, row.fit.left_over_mm[1] / 740), 9),
            round(abs(row.fit.cell_side_mm - 44), 9),
        )
        for row in example.rows
    ]
    assert ranks == sorted(ranks)


def test_cells_follow_the_closed_forms(example):
    """n columns by k half sides of a three-way lattice: n(k - 1) whole and 2n half; p by q boxes of a diamond
    one: pq + (p - 1)(q - 1) whole, 2(p - 1) + 2(q - 1) half, 4 quarters."""
    for row in example.rows:
        n, k = row.fit.columns, row.fit.rows
        expected = {
            "three-way": (n * (k - 1), 2 * n, 0),
            "three-way turned": (k * (n - 1), 2 * k, 0),
            "square": (n * k, 0, 0),
            "diamond": (n * k + (n - 1) * (k - 1), 2 * (n - 1) + 2 * (k - 1), 4),
        }
        assert row.cells == expected[row.fit.lattice]


def test_the_first_of_each_lattice_and_the_best_of_the_rest_are_priced(example):
    priced = [row for row in example.rows if row.priced]
    assert len(priced) == 5
    assert {row.fit.lattice for row in priced} == LATTICES
    firsts = {lattice: next(r for r in example.rows if r.fit.lattice == lattice) for lattice in LATTICES}
    others = [row for row in example.rows if row not in firsts.values()]
    assert set(priced) == {*firsts.values(), others[0]}


def test_no_row_is_priced_by_the_pieces_of_another(example):
    """Half a diamond cell of 44.5 mm and a three-way cell share a piece but for the last bits, with which
    printing it takes 189.5 or 190.0 s. Alone is in a process that has made nothing else."""
    priced = {(row.fit.lattice, row.fit.cell_side_mm): row for row in example.rows if row.priced}
    row = priced["three-way", 44.5]
    brief = replace(QUESTION.brief, design=row.design)
    with ProcessPoolExecutor(1, mp_context=get_context("spawn")) as another:
        alone = another.submit(_cost_of, brief).result()
    assert row.priced.sheet.cost == alone


def _cost_of(brief):
    return price_up(brief, QUESTION.rate_book, QUESTION.shop_state).sheet.cost


def test_a_row_is_what_taking_it_gives(example):
    for row in (row for row in example.rows if row.priced):
        taken = estimate(
            replace(QUESTION.brief, design=row.design),
            QUESTION.rate_book,
            QUESTION.shop_state,
            QUESTION.as_of,
        )
        assert taken.bill.fit == row.fit
        assert taken.price == row.priced.sheet
        assert taken.plan.panel_mass_g == row.priced.plan.panel_mass_g
        assert (taken.bill.cells, len(taken.bill.sections)) == (row.cells, row.sections)


def test_a_row_without_a_price_is_of_that_fit_too(example):
    for row in example.rows:
        assert fits(row.design, QUESTION.brief.space) == (row.fit,)


def test_patterns_that_gave_way_are_said(example):
    said = {row.fit.lattice: row.given_up for row in example.rows}
    assert said == {
        "three-way": (),
        "three-way turned": (),
        "square": ("square hemp leaf and well crib instead of hemp leaf and basket weave",),
        "diamond": ("crossed diamond and diamond leaf instead of hemp leaf and basket weave",),
    }


def test_counts_that_the_design_asks_for_do_not_narrow_the_table(example):
    bound = table(with_design(columns=5, rows=9))
    assert [row.fit for row in bound.rows] == [row.fit for row in example.rows]


def test_a_wide_range_shows_the_best_and_counts_the_others():
    """25 % of 44 mm: 22 steps either way, 45 sides."""
    wide = table(with_design(side_play_percent=Decimal(25)))
    shown = Counter(row.fit.lattice for row in wide.rows)
    assert shown == dict.fromkeys(LATTICES, MOST_ROWS_EACH)
    assert wide.more == dict.fromkeys(LATTICES, 45 - MOST_ROWS_EACH)


def test_lattices_of_which_not_one_cell_fits_say_why():
    """80 by 500 mm: gaps and edging leave 46 mm across, a turned half side of 42 mm is half of what a whole
    cell needs."""
    small = replace(QUESTION.brief, space=Space(widths_mm=(Decimal(80),), heights_mm=(Decimal(500),)))
    arrangement = AllOver(infill=Infill(pattern="hemp-leaf", filament="Tea"))
    found = table(replace(small, design=replace(small.design, arrangement=arrangement)))
    assert {row.fit.lattice for row in found.rows} >= {"three-way", "square"}
    assert [each.lattice for each in found.unfit] == ["diamond"]
    assert "not one whole cell fits" in found.unfit[0].troubles[0].reason


def test_cells_too_small_for_a_pattern_come_last_and_say_so():
    dense = AllOver(infill=Infill(pattern="crossing-bars", filament="Tea"))
    found = table(with_design(cell_side_mm=Decimal(25), side_play_percent=Decimal(25), arrangement=dense))
    troubled = [row for row in found.rows if row.trouble]
    assert troubled
    assert found.rows[-len(troubled) :] == tuple(troubled)
    assert not any(row.priced for row in troubled)
    assert troubled[0].trouble.reason.startswith("the patterns cannot be printed in cells of ")


def test_where_nothing_can_be_priced_the_rows_say_why():
    book = QUESTION.rate_book
    filaments = tuple(replace(each, price_per_spool=None) for each in book.filaments)
    found = table(book=replace(book, filaments=filaments))
    assert not any(row.priced for row in found.rows)
    assert "has no price yet" in found.rows[-1].trouble.reason


def test_fits_of_too_many_plates_come_last_and_say_so(monkeypatch):
    monkeypatch.setattr("studio.making.plates.MOST_PLATES", 5)
    reasons = [row.trouble.reason for row in table().rows if row.trouble]
    assert reasons == ["this takes more than the 5 plates that are planned in one go"] * MOST_TRIES
