import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.lattice.composition import compose
from studio.lattice.design import AllOver, Infill, TouchUp
from studio.problem import Refused
from tests.lattice.cast import OPEN, PATTERN, design, fit_of, sized, small_fits
from tests.lattice.laid import by_address, grid, images, is_symmetric, laid

PLAIN = AllOver(infill=OPEN)
addresses = st.tuples(st.integers(0, 20), st.integers(0, 20))


def touch(column, row, infill=OPEN):
    return TouchUp(column=column, row=row, infill=infill)


def touched(fit, *cells, mirrored=False):
    ups = tuple(touch(*cell) for cell in cells)
    return laid(PLAIN, fit, touch_ups=ups, mirror_touch_ups=mirrored)


def touched_grid(fit, *cells, mirrored=False):
    return grid(PLAIN, fit, touch_ups=tuple(touch(*cell) for cell in cells), mirror_touch_ups=mirrored)


def test_by_address_from_the_lower_left():
    assert touched_grid(fit_of("square", 3, 2), (2, 0), (0, 1)) == [[2, 0, 0], [0, 0, 1]]


def test_each_names_its_field():
    assert touched(fit_of("square", 3, 2), (2, 0), (0, 1)).fields == (
        "design.arrangement.infill",
        "design.touch_ups.0.infill",
        "design.touch_ups.1.infill",
    )


def test_later_ones_win():
    assert touched_grid(fit_of("square", 2, 1), (0, 0), (1, 0), (0, 0)) == [[3, 2]]


@pytest.mark.parametrize(
    ("columns", "rows", "symmetry", "looks"),
    [
        (2, 2, "both", [[1, 1], [0, 0], [1, 1]]),
        (2, 3, "left-right", [[0, 0], [0, 0], [0, 0], [1, 1]]),
        (3, 2, "top-bottom", [[1, 0, 0], [0, 0, 0], [1, 0, 0]]),
        (3, 3, "half-turn", [[0, 0, 1], [0, 0, 0], [0, 0, 0], [1, 0, 0]]),
    ],
)
def test_mirrored_as_the_fit_is_symmetric(columns, rows, symmetry, looks):
    fit = fit_of("three-way", columns, rows)
    assert fit.symmetry == symmetry
    assert touched_grid(fit, (0, 0), mirrored=True) == looks


def test_a_mirrored_one_counts_like_one_that_names_the_cell():
    """What is mirrored stays symmetric whichever of the two cells was touched last."""
    assert touched_grid(fit_of("square", 3, 1), (0, 0), (2, 0), mirrored=True) == [[2, 0, 2]]
    assert touched_grid(fit_of("square", 3, 1), (0, 0), (2, 0)) == [[1, 0, 2]]


@given(small_fits, st.lists(addresses, min_size=1, max_size=6))
def test_mirrored_touch_ups_are_as_symmetric_as_the_fit(fit, cells):
    assert is_symmetric(fit, touched(fit, *cells, mirrored=True).infill)


@given(small_fits, addresses)
def test_one_touches_its_cell_and_its_images_only(fit, cell):
    here = by_address(fit, touched(fit, cell).infill.tolist())
    assert {address for address, infill in here.items() if infill} == {cell} & set(here)
    there = by_address(fit, touched(fit, cell, mirrored=True).infill.tolist())
    ways = {"both": ("left-right", "top-bottom", "half-turn")}.get(fit.symmetry, (fit.symmetry,))
    expected = {dict(zip(here, images(fit, way), strict=True)).get(cell) for way in ways} | {cell}
    assert {address for address, infill in there.items() if infill} == expected & set(here)


@given(small_fits, st.lists(addresses, max_size=8))
def test_those_outside_are_listed_with_their_place(fit, cells):
    found = touched(fit, *cells, mirrored=True)
    there = by_address(fit, found.infill.tolist())
    assert [(up.column, up.row) for up in found.outside] == [cell for cell in cells if cell not in there]


def test_a_diamond_address_of_no_cell_is_outside():
    found = touched(fit_of("diamond", 2, 2), (1, 0), (1, 1), (5, 1), (1000, 1000))
    assert [(up.column, up.row) for up in found.outside] == [(1, 0), (5, 1), (1000, 1000)]


@pytest.mark.parametrize("lattice", PATTERN)
def test_one_that_falls_outside_comes_back_with_the_size(lattice):
    small, large = fit_of(lattice, 3, 3), fit_of(lattice, 10, 10)
    assert [(up.column, up.row) for up in touched(small, (1, 1), (9, 9)).outside] == [(9, 9)]
    assert touched(large, (1, 1), (9, 9)).outside == ()


@pytest.mark.parametrize("lattice", PATTERN)
def test_a_composition_lists_those_outside_and_makes_nothing_of_them(lattice):
    here = Infill(pattern=PATTERN[lattice], filament="Indigo")
    there = Infill(pattern=PATTERN[lattice], filament="Ochre")
    wanted, fit = sized(lattice, 4, 4, touch_ups=(touch(1, 1, here), touch(99, 99, there)))
    composition = compose(wanted, fit)
    assert composition.outside == (touch(99, 99, there),)
    assert composition.filaments == ("Tea", "Indigo")
    assert (composition.filament == 1).sum() == 1


def test_an_unknown_pattern_is_told_at_its_touch_up():
    fit = fit_of("square", 4, 4)
    ups = (touch(0, 0), touch(1, 1, Infill(pattern="no-such", filament="Tea")))
    with pytest.raises(Refused, match="there is no pattern called") as refused:
        compose(design("square", touch_ups=ups), fit)
    assert [problem.field for problem in refused.value.problems] == ["design.touch_ups.1.infill.pattern"]
