from dataclasses import replace
from decimal import Decimal, localcontext
from fractions import Fraction
from functools import lru_cache
from math import sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.lattice.composition import compose
from studio.lattice.design import AllOver, Infill
from studio.lattice.fit import GUARD, SIDE_STEP_MM, best_fit, fits, room_for
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
        ("three-way turned", 31, 32, "top-bottom"),
        ("square", 3, 5, "both"),
        ("diamond", 3, 5, "both"),
    ],
)
def test_symmetry(lattice, columns, rows, symmetry):
    assert fit_of(lattice, columns, rows).symmetry == symmetry


@given(
    lattice=lattices,
    angle=st.sampled_from([60, 90, 120]) | st.integers(300, 1500).map(lambda n: Decimal(n) / 10),
    side=hundredths(10, 400),
    play=st.integers(0, 25),
    width=hundredths(50, 3000),
    height=hundredths(50, 3000),
    gap=hundredths(0, 60),
    edging=hundredths(0, 60),
    columns=st.none() | st.integers(1, 40),
)
def test_no_fit_is_larger_than_the_opening_less_its_gaps(
    lattice, angle, side, play, width, height, gap, edging, columns
):
    wanted = design(
        lattice,
        angle_deg=Decimal(angle),
        cell_side_mm=side,
        side_play_percent=Decimal(play),
        edging_width_mm=edging,
        columns=columns,
    )
    room = Fraction(width - 2 * gap - 2 * edging), Fraction(height - 2 * gap - 2 * edging)
    units = squared_pitch(lattice, Decimal(angle))
    for fit in fits(wanted, space(width, height, gap_mm=gap)):
        assert fit.width_mm <= float(width - 2 * gap)
        assert fit.height_mm <= float(height - 2 * gap)
        assert min(fit.left_over_mm) >= 0
        s = Fraction(str(fit.cell_side_mm))
        assert (s - Fraction(side)) % Fraction(SIDE_STEP_MM) == 0
        assert has_room(fit.columns, s, units[0], room[0])
        assert has_room(fit.rows, s, units[1], room[1])
        assert columns or not has_room(fit.columns + 1, s, units[0], room[0], MARGIN)  # as large as fits
        assert not has_room(fit.rows + 1, s, units[1], room[1], MARGIN)


MARGIN = Fraction(1, 10**11)
"""Relative. What fills the room but for less may be left out: the fit's own guard is a tenth of it."""


def has_room(count, side, squared, room, margin=Fraction(0)):
    """Whether n steps fit, in fractions: n*s*u <= w where (n*s)^2 * u^2 <= w^2."""
    return room > 0 and (count * side * (1 + margin)) ** 2 * squared <= room**2


def squared_pitch(lattice, angle):
    """Squares of width and height of a step in cell sides: of half a side 1/4, of a triangle's height 3/4, of
    the diagonals of a rhombus 2 + 2 cos and 2 - 2 cos of its angle, to forty places."""
    quarter, three = Fraction(1, 4), Fraction(3, 4)
    if lattice == "diamond":
        return 2 + 2 * cosine(angle), 2 - 2 * cosine(angle)
    return {"three-way": (three, quarter), "three-way turned": (quarter, three), "square": (1, 1)}[lattice]


PI = Decimal("3.14159265358979323846264338327950288419716939937510582")


@lru_cache
def cosine(angle_deg):
    """By its series, in fifty places; exact where it is rational."""
    if angle_deg in (60, 90, 120):
        return {60: Fraction(1, 2), 90: Fraction(0), 120: Fraction(-1, 2)}[int(angle_deg)]
    return series(angle_deg)


def series(angle_deg):
    with localcontext(prec=50):
        squared, term, total = (angle_deg * PI / 180) ** 2, Decimal(1), Decimal(1)
        for n in range(1, 40):
            term *= -squared / (2 * n * (2 * n - 1))
            total += term
        return Fraction(total)


def test_the_series_is_right_where_the_cosine_is_known():
    for degrees, known in ((60, Fraction(1, 2)), (90, 0), (120, Fraction(-1, 2))):
        assert abs(series(Decimal(degrees)) - known) < Fraction(1, 10**40)


def test_whole_quarters_are_those_of_the_three_angles_only():
    """Niven's theorem (I. Niven, Irrational Numbers, from memory), with room for the guard."""
    near = set()
    for tenths in range(300, 1501):
        unit = 4 * squared_pitch("diamond", Decimal(tenths) / 10)[0]
        if abs(unit - round(unit)) < 1000 * GUARD:
            near.add(tenths)
    assert near == {600, 900, 1200}


@pytest.mark.parametrize(
    ("angle", "across", "up"), [(60, sqrt(3), 1), (90, sqrt(2), sqrt(2)), (120, 1, sqrt(3))]
)
def test_boxes_of_a_diamond_lattice(angle, across, up):
    """A box is as wide and high as the diagonals of a rhombus: 6 by 4 of side 50."""
    fit = fit_of("diamond", 6, 4, "50", angle_deg=Decimal(angle))
    assert fit.lattice_width_mm == pytest.approx(300 * across)
    assert fit.lattice_height_mm == pytest.approx(200 * up)


def test_an_opening_that_a_diamond_lattice_fills_exactly_is_filled():
    """Twenty boxes of 44.01 mm cells are 880.20 mm high at 60 degrees and as wide at 120: 2 sin 30 is 1."""
    for angle, way in ((60, 1), (120, 0)):
        wanted = design(
            "diamond",
            angle_deg=Decimal(angle),
            cell_side_mm=Decimal("44.01"),
            side_play_percent=Decimal(0),
        )
        fit = best_fit(wanted, space("914.2", "914.2"))
        assert (fit.columns, fit.rows)[way] == 20
        assert fit.left_over_mm[way] == pytest.approx(0, abs=1e-9)
        assert room_for(wanted, space("914.2", "914.2"))[way] == 20
        assert room_for(wanted, space("914.19", "914.19"))[way] == 19


def test_a_turned_lattice_is_the_upright_one_on_its_side():
    upright, turned = fits(design(), space(1200, 800)), fits(design("three-way turned"), space(800, 1200))
    assert [(f.columns, f.rows, f.left_over_mm) for f in upright] == [
        (f.rows, f.columns, f.left_over_mm[::-1]) for f in turned
    ]


@pytest.mark.parametrize(
    ("wanted", "where", "says"),
    [
        (design(), (50, 800), ["space.widths_mm: not one whole cell fits: 1 column .* 36.4 mm.* 16 mm"]),
        (design(), (50, 50), ["space.widths_mm", "space.heights_mm: .*2 half sides .* 42 mm"]),
        (design(edging_width_mm=Decimal(500)), (900, 900), ["leave 0 mm", "space.heights_mm"]),
        (design(rows=1), (900, 900), ["design.rows: 1 half side cannot hold a whole cell; at least 2"]),
        (design("square", rows=20), (900, 800), ["design.rows: 20 rows .* 840 mm.*; at most 18 rows"]),
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
