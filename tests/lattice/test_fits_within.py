"""Every fit that an opening may have within bounds, against a second way of finding them: one size after the
other."""

from dataclasses import replace
from decimal import Decimal
from math import floor, sin

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.lattice.fit import best_fit
from studio.lattice.fits_within import fits_within
from studio.problem import Refused
from tests.lattice.cast import angles, design, hundredths, lattices, space

STEP = 50  # hundredths of a millimetre


def counted(found):
    return {(held.columns, held.rows, held.cell_side_mm) for held in found.designs}


def by_steps(wanted, opening, out_mm, step=STEP):
    """Each size in turn; at each, the side that leaves least, by the words of the design rule. `None` stands
    for a size without a fit."""
    wide, high = int(min(opening.widths_mm) * 100), int(min(opening.heights_mm) * 100)
    across, up = (int(out * 100) for out in out_mm)
    return {
        smallest_left_over(wanted, opening, width, height)
        for width in range(wide - across, wide + across + 1, step)
        for height in range(high - up, high + up + 1, step)
    }


def smallest_left_over(wanted, opening, width, height):
    edging, gaps = (2 * int(length * 100) for length in (wanted.edging_width_mm, opening.gap_mm))
    units = UNITS[wanted.lattice](float(wanted.angle_deg))
    sizes, most = [], int(wanted.cell_side_mm * wanted.side_play_percent / 100 * 2)
    for step in range(-most, most + 1):
        side = int(wanted.cell_side_mm * 100) + 50 * step
        if not 1000 <= side <= 40_000:
            continue
        counts = [
            floor((length - gaps - edging) / (side * unit) + 1e-9)
            for length, unit in zip((width, height), units, strict=True)
        ]
        if counts[0] < LEAST[wanted.lattice][0] or counts[1] < LEAST[wanted.lattice][1]:
            continue
        left = max(
            1 - (count * side * unit + edging) / (length - gaps)
            for count, unit, length in zip(counts, units, (width, height), strict=True)
        )
        sizes.append((round(left, 12), abs(step), side, *counts))
    if not sizes:
        return None
    _, _, side, columns, rows = min(sizes)
    return columns, rows, Decimal(side) / 100


ROOT = 3**0.5 / 2
UNITS = {
    "three-way": lambda _: (ROOT, 0.5),
    "three-way turned": lambda _: (0.5, ROOT),
    "square": lambda _: (1.0, 1.0),
    "diamond": lambda angle: (
        2 * sin((90 - angle / 2) / 57.29577951308232),
        2 * sin(angle / 2 / 57.29577951308232),
    ),
}
LEAST = {"three-way": (1, 2), "three-way turned": (2, 1), "square": (1, 1), "diamond": (1, 1)}


@pytest.mark.parametrize("lattice", LATTICES := ("three-way", "three-way turned", "square", "diamond"))
@pytest.mark.parametrize(("side", "play"), [("44", 5), ("90", 10), ("210", 25)])
def test_the_same_fits_as_one_size_after_the_other(lattice, side, play):
    """±10 mm and ±6 mm in steps of 0.5 mm are 41 × 25 sizes. What has no such size within is there for a
    shorter stretch than a step: hardly any."""
    wanted = design(lattice, cell_side_mm=Decimal(side), side_play_percent=Decimal(play))
    opening, out_mm = space(700, 520), (Decimal(10), Decimal(6))
    found, steps = fits_within(wanted, opening, out_mm), by_steps(wanted, opening, out_mm)
    assert (found.every, found.without) == (True, None)
    assert steps <= counted(found)
    assert len(counted(found) - steps) <= len(steps) / 5


def test_no_fit_is_there_without_an_opening_that_has_it():
    """Of squares and no edging, on the whole: ±1 mm in steps of a hundredth."""
    wanted = design(
        "square", cell_side_mm=Decimal(50), side_play_percent=Decimal(8), edging_width_mm=Decimal(0)
    )
    opening, out_mm = space(360, 261, gap_mm=Decimal(0)), (Decimal("0.9"), Decimal("0.9"))
    assert counted(fits_within(wanted, opening, out_mm)) == by_steps(wanted, opening, out_mm, 2)


@st.composite
def questions(draw):
    counts = [draw(st.none() | st.integers(2, 9)) for _ in range(2)]
    wanted = design(
        draw(lattices),
        angle_deg=draw(angles),
        cell_side_mm=draw(hundredths(30, 300)),
        side_play_percent=Decimal(draw(st.integers(0, 15))),
        edging_width_mm=draw(st.sampled_from(["0", "12", "7.35"]).map(Decimal)),
        columns=counts[0],
        rows=counts[1],
    )
    opening = space(draw(hundredths(200, 900)), draw(hundredths(200, 900)), gap_mm=draw(hundredths(0, 6)))
    return wanted, opening, (draw(hundredths(0, 60)), draw(hundredths(0, 60)))


@given(questions(), st.integers(-100, 100), st.integers(-100, 100))
def test_whatever_the_opening_is_its_fit_was_among_them(question, across, up):
    wanted, opening, out_mm = question
    found = fits_within(wanted, opening, out_mm)
    true = (
        min(way) + out * part / 100
        for way, out, part in zip((opening.widths_mm, opening.heights_mm), out_mm, (across, up), strict=True)
    )
    width, height = (length.quantize(Decimal("0.01"), "ROUND_DOWN") for length in true)
    try:
        fit = best_fit(wanted, replace(opening, widths_mm=(width,), heights_mm=(height,)))
    except Refused:
        assert found.without is not None
        return
    assert (fit.columns, fit.rows, Decimal(str(fit.cell_side_mm))) in counted(found)


@given(questions(), st.integers(0, 100), st.integers(0, 100))
def test_less_known_sizes_have_all_the_fits_of_better_known_ones(question, across, up):
    wanted, opening, out_mm = question
    better = fits_within(wanted, opening, (out_mm[0] * across / 100, out_mm[1] * up / 100))
    assert counted(better) <= counted(fits_within(wanted, opening, out_mm))


def test_where_some_openings_are_too_small_one_of_them_is_named():
    """Squares of 200 mm with 12 mm edging and 5 mm gaps need 234 mm each way."""
    wanted = design("square", cell_side_mm=Decimal(200), side_play_percent=Decimal(0))
    found = fits_within(wanted, space(240, 300), (Decimal(10), Decimal(0)))
    assert counted(found) == {(1, 1, Decimal(200))}
    with pytest.raises(Refused, match="not one whole cell fits"):
        best_fit(wanted, found.without)


def test_of_far_too_many_there_are_some_from_all_over():
    wanted = design(cell_side_mm=Decimal(20), side_play_percent=Decimal(25))
    found = fits_within(wanted, space(3000, 2400), (Decimal(300), Decimal(240)))
    assert not found.every
    columns = [held.columns for held in found.designs]
    ends = [best_fit(wanted, space(width, 2400)).columns for width in (2700, 3300)]
    assert min(columns) <= ends[0]
    assert max(columns) >= ends[1]
