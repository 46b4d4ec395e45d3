from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from math import sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from studio.lattice.composition import compose
from studio.lattice.design import AllOver, Infill
from studio.lattice.fit import SIDE_STEP_MM, best_fit, fits
from studio.lattice.patterns import pattern
from studio.lattice.piece import least_side_mm
from studio.problem import Refused
from tests.lattice.cast import design, fit_of, hundredths, lattices, space


def test_the_smallest_width_less_the_gaps_is_the_opening():
    """design rule: widths 1200, 1197, 1194 with 5 mm gaps leave 1184."""
    wide = replace(space(1200, 750), widths_mm=(Decimal(1200), Decimal(1197), Decimal(1194)))
    for fit in fits(design(), wide):
        assert fit.width_mm + fit.left_over_mm[0] == pytest.approx(1184)
        assert fit.height_mm + fit.left_over_mm[1] == pytest.approx(740)


def test_thirty_one_columns_with_edging():
    """design rule: 31 columns at 44 mm are 1181.3 between centre lines, 1205.3 with two 12 mm edgings."""
    fit = fit_of("three-way", 31, 16, "44")
    assert fit.lattice_width_mm == pytest.approx(31 * 44 * sqrt(3) / 2)
    assert round(fit.lattice_width_mm, 1) == 1181.3
    assert round(fit.width_mm, 1) == 1205.3
    assert fit.lattice_height_mm == 16 * 22
    assert fit.height_mm == 16 * 22 + 24


def test_thirty_one_columns_need_an_opening_of_1205_3_and_the_gaps():
    wanted = design(columns=31, cell_side_mm=Decimal(44), side_play_percent=Decimal(0))
    assert best_fit(wanted, space("1215.31", 800)).columns == 31
    with pytest.raises(Refused, match=r"design.columns: 31 columns .* 1181.3 mm"):
        best_fit(wanted, space("1215.25", 800))


def test_an_opening_that_a_square_lattice_fills_exactly_is_filled():
    """20 cells of 44.01 mm are 880.20 mm: floats divided fall short of 20."""
    wanted = design("square", cell_side_mm=Decimal("44.01"), side_play_percent=Decimal(0))
    fit = best_fit(wanted, space("914.2", "914.2"))
    assert (fit.columns, fit.rows) == (20, 20)
    assert fit.left_over_mm == (0, 0)
    assert fit.width_mm == 904.2


def test_sides_are_anchored_at_the_wanted_one():
    """5 % of 44 is 2.2 mm: four steps either way."""
    sides = sorted(fit.cell_side_mm for fit in fits(design(), space(1200, 800)))
    assert sides == [42, 42.5, 43, 43.5, 44, 44.5, 45, 45.5, 46]


def test_the_best_leaves_least_over_and_then_is_nearest_to_the_wanted_side():
    """1000 mm clear: 10 mm cells and 12.5 mm cells both fill it; 12 mm is nearer to 12.5."""
    wanted = design(
        "square", cell_side_mm=Decimal(12), side_play_percent=Decimal(25), edging_width_mm=Decimal(0)
    )
    ranked = fits(wanted, space(1010, 1010))
    assert [fit.cell_side_mm for fit in ranked[:2]] == [12.5, 10]
    assert ranked[0].left_over_mm == (0, 0)
    over = [max(fit.left_over_mm) for fit in ranked]
    assert over == sorted(over)


@pytest.mark.parametrize(
    ("lattice", "columns", "rows", "symmetry"),
    [
        ("three-way", 30, 32, "both"),
        ("three-way", 30, 31, "left-right"),
        ("three-way", 31, 32, "top-bottom"),
        ("three-way", 31, 31, "half-turn"),
        ("square", 3, 5, "both"),
    ],
)
def test_symmetry(lattice, columns, rows, symmetry):
    assert fit_of(lattice, columns, rows).symmetry == symmetry


@settings(deadline=None)
@given(
    lattice=lattices,
    side=hundredths(10, 400),
    play=st.integers(0, 25),
    width=hundredths(50, 3000),
    height=hundredths(50, 3000),
    gap=hundredths(0, 60),
    edging=hundredths(0, 60),
    columns=st.none() | st.integers(1, 40),
)
def test_no_fit_is_larger_than_the_opening_less_its_gaps(
    lattice, side, play, width, height, gap, edging, columns
):
    wanted = design(
        lattice, cell_side_mm=side, side_play_percent=Decimal(play), edging_width_mm=edging, columns=columns
    )
    for fit in fits(wanted, space(width, height, gap_mm=gap)):
        assert fit.width_mm <= float(width - 2 * gap)
        assert fit.height_mm <= float(height - 2 * gap)
        assert min(fit.left_over_mm) >= 0
        s = Fraction(str(fit.cell_side_mm))
        assert (s - Fraction(side)) % Fraction(SIDE_STEP_MM) == 0
        room = Fraction(width - 2 * gap - 2 * edging), Fraction(height - 2 * gap - 2 * edging)
        assert _across(fit, fit.columns, s, room[0])
        assert columns or not _across(fit, fit.columns + 1, s, room[0])  # as large as fits
        up = s if lattice == "square" else s / 2
        assert fit.rows * up <= room[1] < (fit.rows + 1) * up


def _across(fit, columns, side, room):
    """Whether the columns have room, in exact fractions: n*s*sqrt(3)/2 <= w where 3*(n*s)^2 <= 4*w^2."""
    return columns * side <= room if fit.lattice == "square" else 3 * (columns * side) ** 2 <= 4 * room**2


@pytest.mark.parametrize(
    ("wanted", "where", "says"),
    [
        (design(), (50, 800), ["space.widths_mm: not one whole cell fits: 1 column .* 36.4 mm.* 16.0 mm"]),
        (design(), (50, 50), ["space.widths_mm", "space.heights_mm: .*2 half sides .* 42.0 mm"]),
        (design(edging_width_mm=Decimal(500)), (900, 900), ["leave 0.0 mm", "space.heights_mm"]),
        (design(rows=1), (900, 900), ["design.rows: 1 half side cannot hold a whole cell; at least 2"]),
        (design("square", rows=20), (900, 800), ["design.rows: 20 rows .* 840.0 mm.*; at most 18 rows"]),
        (design(), (20_000, 900), ["design.cell_side_mm: .* at most 400; larger cells"]),
    ],
)
def test_what_does_not_fit_is_refused_with_its_sizes(wanted, where, says):
    assert fits(wanted, space(*where)) == ()
    with pytest.raises(Refused) as refused:
        best_fit(wanted, space(*where))
    for text in says:
        assert refused.match(text)


def test_the_best_fit_lets_every_pattern_be_printed():
    """Crossing bars in these strips need a side that the play around 1 mm more goes below."""
    least = least_side_mm(pattern("crossing-bars"), 3.2, 2.0, 0.15)
    bars = AllOver(infill=Infill(pattern="crossing-bars", filament="Tea"))
    wanted = design(cell_side_mm=Decimal(str(least)) + 1, arrangement=bars)
    too_small = 0
    for width in range(600, 700, 5):
        where = space(width, 800)
        too_small += fits(wanted, where)[0].cell_side_mm < least
        assert best_fit(wanted, where).cell_side_mm >= least
    assert too_small > 0


def test_where_no_side_lets_a_pattern_be_printed_the_composition_says_why():
    bars = AllOver(infill=Infill(pattern="crossing-bars", filament="Tea"))
    wanted = design(cell_side_mm=Decimal(25), arrangement=bars)
    fit = best_fit(wanted, space(600, 800))
    assert fit == fits(wanted, space(600, 800))[0]
    with pytest.raises(Refused, match=r"design.cell_side_mm: .* at least \d"):
        compose(wanted, fit)


def test_a_long_low_opening_that_no_one_side_suits():
    """19 996 mm hold at most 400 cells only with sides of 50 mm, and 46 mm hold a cell only with smaller
    ones."""
    wanted = design(
        "square", cell_side_mm=Decimal(40), side_play_percent=Decimal(25), edging_width_mm=Decimal(2)
    )
    with pytest.raises(Refused, match=r"design.side_play_percent: no one side"):
        best_fit(wanted, space(20_000, 50, gap_mm=Decimal(0)))
