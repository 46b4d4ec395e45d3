from math import radians, sin

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.lattice.border import border_rows
from studio.lattice.design import BorderAndField
from studio.problem import Refused
from tests.lattice.cast import OPEN, STAR, fit_of, lattices, small_fits
from tests.lattice.laid import by_address, grid, is_symmetric, laid


def border(cells):
    return BorderAndField(border=STAR, border_cells=cells, field=OPEN)


def test_border_and_field():
    assert grid(border(1), fit_of("square", 4, 3)) == [[0, 0, 0, 0], [0, 1, 1, 0], [0, 0, 0, 0]]


def test_rows_that_look_as_thick_as_columns():
    """d columns are 0.866 d sides thick, r rows (2r - 1)/4: 0.87, 1.73, 2.60, 3.46 against 0.75, 1.75, 2.75,
    3.25."""
    upright, turned = fit_of("three-way", 30, 40), fit_of("three-way turned", 40, 30)
    assert [border_rows(upright, d) for d in (1, 2, 3, 4)] == [(1, 2), (2, 4), (3, 6), (4, 7)]
    assert [border_rows(turned, d) for d in (1, 2, 3, 4)] == [(2, 1), (4, 2), (6, 3), (7, 4)]
    assert border_rows(fit_of("square", 5, 5), 2) == (2, 2)


def test_diamonds_have_the_half_cells_on_top():
    """At 60 degrees n columns are (n - 1/2)*0.866 sides thick, n rows (n - 1/2)/2: 1.30, 2.17, 3.03 against
    1.25, 2.25, 3.25. At 90 degrees both ways are alike, at 120 they change places."""
    assert [border_rows(fit_of("diamond", 20, 20), d) for d in (1, 2, 3)] == [(2, 3), (3, 5), (4, 7)]
    assert border_rows(fit_of("diamond", 20, 20, angle_deg=90), 2) == (3, 3)
    assert border_rows(fit_of("diamond", 20, 20, angle_deg=120), 2) == (5, 3)


def test_a_diamond_border_one_cell_deep_closes():
    assert grid(border(1), fit_of("diamond", 4, 5))[3:6] == [
        [-1, 0, -1, 1, -1, 1, -1, 0, -1],
        [0, -1, 1, -1, 1, -1, 1, -1, 0],
        [-1, 0, -1, 1, -1, 1, -1, 0, -1],
    ]


@given(lattices, st.integers(1, 40), st.sampled_from([30, 60, 75, 90, 150]))
def test_a_border_is_as_thick_all_round_within_half_a_step(lattice, depth, angle):
    """By area: over the sides' and the ends' length, far from the corners."""
    fit = fit_of(lattice, 4, 4, "20", angle_deg=angle)
    across, up = border_rows(fit, depth)
    sides = (across - fit.across.zigzag / 2) * fit.across.step_mm
    ends = (up - fit.up.zigzag / 2) * fit.up.step_mm
    assert abs(sides - ends) <= min(fit.across.step_mm, fit.up.step_mm) / 2 + 1e-9
    assert max(sides, ends) >= depth * 20 * (0.7 if lattice == "diamond" else sin(radians(60))) - 1e-9


@pytest.mark.parametrize(
    ("columns", "rows", "deepest"),
    [
        (5, 10, "a border of 2 cells at most"),
        (20, 4, "a border of 1 cell at most"),
        (2, 10, "a larger panel"),
    ],
)
def test_a_border_that_leaves_no_field(columns, rows, deepest):
    with pytest.raises(Refused, match=f"design.arrangement.border_cells: .*leaves no field.*{deepest}"):
        laid(border(3), fit_of("three-way", columns, rows))


def test_an_address_without_a_cell_is_no_field():
    """Two columns and three rows off each side of 5 x 7 addresses leave (2, 3), which no diamond cell has."""
    with pytest.raises(Refused, match="leaves no field in 5 columns of cells and 7 rows of cells; a larger"):
        laid(border(1), fit_of("diamond", 2, 3))


@given(small_fits, st.integers(1, 4))
def test_a_border_is_the_same_on_opposite_sides(fit, depth):
    try:
        found = np.array(grid(border(depth), fit))
    except Refused:
        across, up = border_rows(fit, depth)
        columns, rows = fit.across.addresses - 2 * across, fit.up.addresses - 2 * up
        assert columns <= 0 or rows <= 0 or (fit.lattice == "diamond" and columns * rows == 1)
        return
    assert (found == found[::-1]).all()
    assert (found == found[:, ::-1]).all()
    assert set(found.ravel()) - {-1} == {0, 1}
    assert is_symmetric(fit, laid(border(depth), fit).infill)


@given(lattices, st.integers(1, 3))
def test_a_larger_panel_keeps_the_depth(lattice, depth):
    """The lower left corner of the larger one is the smaller one's."""
    small, large = fit_of(lattice, 15, 15), fit_of(lattice, 18, 20)
    before = by_address(small, laid(border(depth), small).infill)
    after = by_address(large, laid(border(depth), large).infill)
    half = {(i, j) for i, j in before if i <= small.across.steps / 2 and j <= small.up.steps / 2}
    assert {cell: before[cell] for cell in half} == {cell: after[cell] for cell in half}
