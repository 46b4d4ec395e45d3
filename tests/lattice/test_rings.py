from collections import Counter
from decimal import Decimal
from math import hypot

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.document import parse
from studio.lattice.cells import cells_of
from studio.lattice.design import Band, Rings
from studio.lattice.rings import middle_of_rings
from studio.problem import Refused
from tests.lattice.cast import STAR, fit_of, lattices, small_fits
from tests.lattice.laid import by_address, grid, is_symmetric, laid

fits = st.builds(fit_of, lattices, st.integers(6, 12), st.integers(6, 12))
percents = st.integers(0, 1000).map(lambda tenths: Decimal(tenths) / 10)


def rings(*cells, across=50, up=50):
    bands = tuple(Band(infill=STAR, cells=n) for n in cells)
    return Rings(rings=bands, across_percent=Decimal(across), up_percent=Decimal(up))


def counts(fit, *cells):
    return [number for _, number in sorted(Counter(laid(rings(*cells), fit).infill.tolist()).items())]


def test_hexagons_round_a_crossing():
    """A hexagon of side k holds 6k^2 triangles: 6, 24, 54."""
    assert counts(fit_of("three-way", 12, 24), 1, 1, 1, 99)[:3] == [6, 18, 30]
    assert counts(fit_of("three-way turned", 24, 12), 2, 1, 99)[:2] == [24, 30]


def test_squares_and_rhombi_round_a_crossing():
    """Of side 2k: 4, 16, 36 cells."""
    assert counts(fit_of("square", 8, 8), 1, 1, 1, 1) == [4, 12, 20, 28]
    assert counts(fit_of("diamond", 7, 8), 1, 1, 1, 99)[:3] == [4, 12, 20]


def test_squares_and_rhombi_round_a_cell():
    """Of side 2k - 1: 1, 9, 25 cells."""
    assert counts(fit_of("square", 7, 7), 1, 1, 1, 1) == [1, 8, 16, 24]
    assert counts(fit_of("diamond", 8, 8), 1, 1, 1, 99)[:3] == [1, 8, 16]


def test_round_the_middle_of_a_side():
    """Where a panel's middle is no crossing: the two cells beside it, then an even ring."""
    assert counts(fit_of("three-way", 12, 22), 1, 1, 99)[:2] == [2, 14]
    assert grid(rings(1, 1), fit_of("square", 4, 3)) == [[1, 1, 1, 1], [1, 0, 0, 1], [1, 1, 1, 1]]


def test_rings_repeat_outwards():
    assert grid(rings(1, 2), fit_of("square", 9, 1)) == [[1, 0, 1, 1, 0, 1, 1, 0, 1]]


def test_a_corner():
    assert grid(rings(1, 1, across=0, up=0), fit_of("square", 3, 2)) == [[1, 1, 0], [0, 1, 0]]


@given(fits, st.integers(1, 2), st.integers(1, 2))
def test_rings_round_the_middle_are_as_symmetric_as_the_panel(fit, first, second):
    found = laid(rings(first, second), fit).infill
    assert set(found.tolist()) == {0, 1}
    assert is_symmetric(fit, found)


@given(st.integers(3, 6), st.integers(3, 6), st.integers(1, 2), st.integers(1, 2))
def test_rings_turn_with_the_lattice(columns, rows, first, second):
    """A quarter turn anticlockwise: column i, row j becomes column k - j, row i."""
    fit, turned = (
        fit_of("three-way", 2 * columns, 2 * rows),
        fit_of("three-way turned", 2 * rows, 2 * columns),
    )
    wanted = rings(first, second)
    before, after = laid(wanted, fit).infill, by_address(turned, laid(wanted, turned).infill)
    cells = cells_of(fit)
    assert [after[2 * rows - j, i] for i, j in zip(cells.column, cells.row, strict=True)] == before.tolist()


@given(lattices, st.integers(2, 60), st.integers(2, 60), percents, percents)
def test_the_middle_keeps_its_place_in_percent(lattice, columns, rows, across, up):
    """Within the distance from which a crossing can be: less than one cell side, whatever the size."""
    fit = fit_of(lattice, columns, rows, "20")
    found = middle_of_rings(rings(1, across=across, up=up), fit)
    away = (
        found[0] * fit.across.step_mm - float(across) / 100 * fit.lattice_width_mm,
        found[1] * fit.up.step_mm - float(up) / 100 * fit.lattice_height_mm,
    )
    assert hypot(*away) < fit.cell_side_mm


@given(small_fits, percents, percents)
def test_rings_are_never_empty_up_to_the_edge(fit, across, up):
    """So that only a ring beyond the panel has no cell."""
    with pytest.raises(Refused) as refused:
        laid(rings(*[1] * 40, across=across, up=up), fit)
    reach = int(refused.value.problems[0].reason.split()[-1])
    found = laid(rings(*[1] * reach, across=across, up=up), fit)
    assert set(found.infill.tolist()) == set(range(reach))


def test_a_ring_beyond_the_panel():
    says = (
        "design.arrangement.rings: the last ring begins 5 cell sides from the middle of the rings, and the "
        "panel ends after 4; fewer or thinner rings, or a larger panel"
    )
    with pytest.raises(Refused, match=says):
        laid(rings(2, 3, 1), fit_of("square", 8, 8))


@pytest.mark.parametrize("percent", ["NaN", "Infinity", "-1", "100.1", "12.34", "middle"])
def test_points_outside_the_panel(percent):
    data = {
        "kind": "rings",
        "across_percent": percent,
        "rings": [{"infill": {"pattern": "scales", "filament": "Tea"}, "cells": 1}],
    }
    with pytest.raises(Refused, match="across_percent: "):
        parse(Rings, data)
