import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from studio.lattice.design import Rosettes
from studio.lattice.rosettes import middles_of_rosettes
from studio.problem import Refused
from tests.lattice.cast import OPEN, STAR, fit_of, lattices
from tests.lattice.laid import grid, is_symmetric, laid

fits = st.builds(fit_of, lattices, st.integers(8, 16), st.integers(8, 16))


def rosettes(apart):
    return Rosettes(rosette=STAR, field=OPEN, apart=apart)


def middles(fit, apart):
    return set(zip(*(steps.tolist() for steps in middles_of_rosettes(fit, apart)), strict=True))


@pytest.mark.parametrize(
    ("lattice", "columns", "rows", "cells"),
    [
        ("three-way", 4, 8, 6),
        ("three-way turned", 8, 4, 6),
        ("square", 4, 4, 4),
        ("diamond", 3, 4, 4),
    ],
)
def test_one_rosette_in_the_middle(lattice, columns, rows, cells):
    """However far the next ones would be."""
    found = laid(rosettes(40), fit_of(lattice, columns, rows)).infill
    assert (found == 0).sum() == cells


def test_six_cells_round_a_crossing():
    assert grid(rosettes(40), fit_of("three-way", 4, 4)) == [
        [1, 1, 1, 1],
        [1, 0, 0, 1],
        [1, 0, 0, 1],
        [1, 0, 0, 1],
        [1, 1, 1, 1],
    ]


def test_they_stand_apart_along_the_strips():
    """On an upright strip two rows of half sides are one side; on the others it is a column and a row."""
    found = middles(fit_of("three-way", 12, 12), 3)
    assert {(6, 6), (6, 0), (6, 12), (3, 3), (3, 9), (9, 3), (9, 9), (0, 0), (12, 6)} <= found
    assert (6, 3) not in found
    assert middles(fit_of("square", 8, 8), 4) == {(4 * i, 4 * j) for i in range(3) for j in range(3)}


def test_the_edges_cut_them():
    assert grid(rosettes(3), fit_of("square", 6, 4)) == [
        [1, 1, 1, 1, 1, 1],
        [0, 1, 0, 0, 1, 0],
        [0, 1, 0, 0, 1, 0],
        [1, 1, 1, 1, 1, 1],
    ]


def test_half_cells_belong_to_rosettes_that_lie_beyond_the_edge():
    """The top edge runs through the lower cells of a rosette round (2, 10)."""
    assert grid(rosettes(3), fit_of("three-way", 4, 9)) == [
        [1, 0, 0, 1],
        *[[1, 1, 1, 1]] * 3,
        *[[1, 0, 0, 1]] * 3,
        *[[1, 1, 1, 1]] * 3,
    ]


@settings(max_examples=40)
@given(st.builds(fit_of, lattices, st.integers(14, 18), st.integers(14, 18)), st.sampled_from([3, 5]))
def test_odd_distances_are_as_symmetric_as_the_panel(fit, apart):
    """Where the middle is no crossing, it is half-way between rosettes."""
    assert is_symmetric(fit, laid(rosettes(apart), fit).infill)


@settings(max_examples=20)
@given(st.integers(2, 4), st.integers(2, 4), st.integers(3, 9))
def test_round_a_crossing_in_the_middle_any_distance_is_symmetric(columns, rows, apart):
    for lattice in ("three-way", "three-way turned"):
        fit = fit_of(lattice, 4 * columns, 4 * rows)
        assert is_symmetric(fit, laid(rosettes(apart), fit).infill)
        assert (2 * columns, 2 * rows) in middles(fit, apart)
    for fit in (fit_of("square", 2 * columns, 2 * rows), fit_of("diamond", columns, columns + 1)):
        assert is_symmetric(fit, laid(rosettes(apart), fit).infill)


@given(fits, st.integers(3, 40))
def test_one_is_near_the_middle_or_the_middle_is_half_way(fit, apart):
    """In steps: within one step each way, or the middle of a side of the rosettes' own lattice."""
    twice = [(2 * i - fit.across.steps, 2 * j - fit.up.steps) for i, j in middles(fit, apart)]
    near = [max(abs(i), abs(j)) for i, j in twice]
    half_way = any((-i, -j) in twice for i, j in twice)
    assert min(near) <= 2 or half_way


@given(fits, st.integers(3, 40))
def test_rosettes_are_whole_away_from_the_edges(fit, apart):
    found, middle = laid(rosettes(apart), fit).infill, middles(fit, apart)
    each = 6 if fit.lattice.startswith("three") else 4
    inside = sum(2 <= i <= fit.across.steps - 2 and 2 <= j <= fit.up.steps - 2 for i, j in middle)
    assert each * inside <= (found == 0).sum() <= each * len(middle)


@pytest.mark.parametrize("lattice", ["square", "diamond"])
def test_touching_all_round_leaves_no_field(lattice):
    with pytest.raises(Refused, match=r"arrangement\.apart: rosettes 2 cell sides apart leave no field; "):
        laid(rosettes(2), fit_of(lattice, 9, 8))
    assert laid(rosettes(2), fit_of("three-way", 9, 8)).infill.any()


@pytest.mark.parametrize(
    ("lattice", "columns", "rows"),
    [
        ("three-way", 1, 9),
        ("three-way", 9, 3),
        ("three-way turned", 3, 9),
        ("square", 1, 5),
        ("diamond", 1, 5),
    ],
)
def test_no_room_for_one(lattice, columns, rows):
    with pytest.raises(Refused, match=r"arrangement: the panel has no room for one whole rosette; a larger"):
        laid(rosettes(3), fit_of(lattice, columns, rows))
