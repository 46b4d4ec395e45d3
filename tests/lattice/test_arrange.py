import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from studio.lattice.arrange import arrange
from studio.lattice.border import border_rows
from studio.lattice.cells import cells_of
from studio.lattice.design import AllOver, Band, Bands, BorderAndField
from studio.problem import Refused
from tests.lattice.cast import OPEN, STAR, design, fit_of, lattices, small_fits


def grid(arrangement, fit):
    """Indices of infills as rows of text-like lists, top row first."""
    cells = cells_of(fit)
    found = np.full((fit.across.addresses, fit.up.addresses), -1)
    found[cells.column, cells.row] = laid(arrangement, fit).infill
    return found.T[::-1].tolist()


def laid(arrangement, fit):
    return arrange(design(fit.lattice, arrangement=arrangement), fit, cells_of(fit))


def bands(direction, *cells):
    return Bands(direction=direction, bands=tuple(Band(infill=STAR, cells=n) for n in cells))


def test_all_over():
    found = laid(AllOver(infill=STAR), fit_of("square", 2, 2))
    assert found.infills == (STAR,)
    assert found.fields == ("design.arrangement.infill",)
    assert found.infill.tolist() == [0, 0, 0, 0]


def test_upright_bands_repeat_from_the_left():
    assert grid(bands("upright", 2, 1), fit_of("square", 7, 2)) == [[0, 0, 1, 0, 0, 1, 0]] * 2


def test_level_bands_repeat_from_the_bottom():
    """Three half sides have four rows of cells, the half ones among them."""
    assert grid(bands("level", 1, 2), fit_of("three-way", 2, 3)) == [[0, 0], [1, 1], [1, 1], [0, 0]]


@pytest.mark.parametrize(
    ("arrangement", "says"),
    [
        (bands("upright", 3, 2), "the bands take 5 columns of cells, and the panel has 4; bands of 4 columns"),
        (bands("level", 3, 4), "the bands take 7 rows of cells, and the panel has 6"),
    ],
)
def test_bands_that_do_not_all_find_room(arrangement, says):
    with pytest.raises(Refused, match=f"design.arrangement.bands: {says}"):
        laid(arrangement, fit_of("three-way", 4, 5))


def test_one_row_is_not_rows():
    with pytest.raises(Refused, match="and the panel has 1; bands of 1 row of cells together at most"):
        laid(bands("level", 1, 1), fit_of("square", 4, 1))


def test_border_and_field():
    assert grid(BorderAndField(border=STAR, field=OPEN), fit_of("square", 4, 3)) == [
        [0, 0, 0, 0],
        [0, 1, 1, 0],
        [0, 0, 0, 0],
    ]


def test_rows_that_look_as_thick_as_columns():
    """d columns are 0.866 d sides thick, r rows (2r - 1)/4: 0.87, 1.73, 2.60, 3.46 against 0.75, 1.75, 2.75,
    3.25."""
    fit = fit_of("three-way", 30, 40)
    assert [border_rows(fit, d)[1] for d in (1, 2, 3, 4)] == [2, 4, 6, 7]
    assert border_rows(fit_of("square", 5, 5), 2) == (2, 2)


@settings(deadline=None)
@given(st.integers(1, 40))
def test_a_border_is_as_thick_all_round_within_a_quarter_side(depth):
    fit = fit_of("three-way", 100, 200, "20")
    side, up = depth * 20 * 3**0.5 / 2, (2 * border_rows(fit, depth)[1] - 1) * 20 / 4
    assert abs(side - up) <= 20 / 4 + 1e-9


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
        laid(BorderAndField(border=STAR, border_cells=3, field=OPEN), fit_of("three-way", columns, rows))


@settings(deadline=None)
@given(small_fits, st.integers(1, 4))
def test_a_border_is_the_same_on_opposite_sides(fit, depth):
    try:
        found = np.array(grid(BorderAndField(border=STAR, border_cells=depth, field=OPEN), fit))
    except Refused:
        across, up = border_rows(fit, depth)
        assert 2 * across >= fit.across.addresses or 2 * up >= fit.up.addresses
        return
    assert (found == found[::-1]).all()
    assert (found == found[:, ::-1]).all()
    assert set(found.ravel()) - {-1} == {0, 1}


@settings(deadline=None)
@given(lattices)
def test_each_infill_names_its_field(lattice):
    found = laid(bands("upright", 1, 1), fit_of(lattice, 3, 3))
    assert found.fields == ("design.arrangement.bands.0.infill", "design.arrangement.bands.1.infill")
