import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from studio.lattice.design import Band, Bands
from studio.problem import Refused
from tests.lattice.cast import STAR, fit_of, lattices
from tests.lattice.laid import by_address, grid, laid


def bands(direction, *cells):
    return Bands(direction=direction, bands=tuple(Band(infill=STAR, cells=n) for n in cells))


def test_upright_bands_repeat_from_the_left():
    assert grid(bands("upright", 2, 1), fit_of("square", 7, 2)) == [[0, 0, 1, 0, 0, 1, 0]] * 2


def test_level_bands_repeat_from_the_bottom():
    """Three half sides have four rows of cells, the half ones among them."""
    assert grid(bands("level", 1, 2), fit_of("three-way", 2, 3)) == [[0, 0], [1, 1], [1, 1], [0, 0]]


def test_turned_they_count_half_sides_across():
    assert grid(bands("upright", 1, 2), fit_of("three-way turned", 3, 2)) == [[0, 1, 1, 0]] * 2


def test_in_a_diamond_lattice_they_count_half_boxes():
    assert grid(bands("upright", 1, 2), fit_of("diamond", 2, 1)) == [
        [0, -1, 1, -1, 1],
        [-1, 1, -1, 0, -1],
        [0, -1, 1, -1, 1],
    ]


@pytest.mark.parametrize(
    ("arrangement", "says"),
    [
        (
            bands("upright", 3, 2),
            "the bands take 5 columns of cells, and the panel has 4; bands of 4 columns of",
        ),
        (bands("level", 3, 4), "the bands take 7 rows of cells, and the panel has 6"),
    ],
)
def test_bands_that_do_not_all_find_room(arrangement, says):
    with pytest.raises(Refused, match=f"design.arrangement.bands: {says}"):
        laid(arrangement, fit_of("three-way", 4, 5))


def test_one_row_is_not_rows():
    with pytest.raises(Refused, match="and the panel has 1; bands of 1 row of cells together at most"):
        laid(bands("level", 1, 1), fit_of("square", 4, 1))


def test_a_diamond_lattice_has_an_address_more_than_half_boxes():
    with pytest.raises(Refused, match="take 6 columns of cells, and the panel has 5"):
        laid(bands("upright", 3, 3), fit_of("diamond", 2, 2))
    assert laid(bands("upright", 3, 2), fit_of("diamond", 2, 2)).infill.max() == 1


@settings(max_examples=30)
@given(lattices, st.sampled_from(["upright", "level"]), st.integers(1, 3), st.integers(1, 3))
def test_a_larger_panel_keeps_the_bands_that_were_there(lattice, direction, first, second):
    small, large = fit_of(lattice, 6, 6), fit_of(lattice, 9, 8)
    wanted = bands(direction, first, second)
    before = by_address(small, laid(wanted, small).infill)
    after = by_address(large, laid(wanted, large).infill)
    assert before.items() <= after.items()
