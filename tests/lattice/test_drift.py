import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from studio.lattice.cells import cells_of
from studio.lattice.design import Drift
from studio.lattice.drift import drawn_numbers, mixed
from tests.lattice.cast import OPEN, STAR, fit_of, lattices
from tests.lattice.laid import by_address, laid

DIRECTIONS = ("to the right", "to the left", "upwards", "downwards")
seeds = st.integers(1, 999_999)


def drift(seed=1, direction="to the right", **changes):
    return Drift(first=STAR, second=OPEN, direction=direction, seed=seed, **changes)


def drawn(fit, **changes):
    return by_address(fit, drawn_numbers(drift(**changes), cells_of(fit)).tolist())


def test_the_mixing_function():
    """First two outputs of SplitMix64 from state 0 and first of state 1234567 (published test values, from
    memory)."""
    states = np.array([0, 0x9E3779B97F4A7C15, 1234567], dtype=np.uint64)
    assert mixed(states).tolist() == [0xE220A8397B1DCDAF, 0x6E789E6AA1B965F4, 6457827717110365317]


@settings(max_examples=30)
@given(lattices, seeds, st.integers(0, 3), st.integers(0, 3))
def test_more_columns_on_the_right_and_rows_on_top_draw_the_same(lattice, seed, columns, rows):
    small, large = fit_of(lattice, 4, 5), fit_of(lattice, 4 + columns, 5 + rows)
    assert drawn(small, seed=seed).items() <= drawn(large, seed=seed).items()


@settings(max_examples=30)
@given(lattices, seeds, st.integers(0, 3), st.integers(0, 3))
def test_more_on_the_left_and_below_draw_the_same_when_the_anchor_moves(lattice, seed, columns, rows):
    """Diamond boxes are two addresses each way."""
    per_box = 2 if lattice == "diamond" else 1
    i, j = per_box * columns, per_box * rows
    before = drawn(fit_of(lattice, 4, 5), seed=seed)
    after = drawn(fit_of(lattice, 4 + columns, 5 + rows), seed=seed, anchor_column=i, anchor_row=j)
    assert {
        (column + i, row + j): number for (column, row), number in before.items()
    }.items() <= after.items()


@settings(max_examples=20)
@given(seeds)
def test_same_seed_same_cells(seed):
    fit = fit_of("square", 20, 20)
    once, again = laid(drift(seed), fit), laid(drift(seed), fit_of("square", 20, 20))
    assert (once.infill == again.infill).all()
    assert (once.infill != laid(drift(seed % 999_999 + 1), fit).infill).any()


@pytest.mark.parametrize("seed", [1, 2, 77, 999_999])
@pytest.mark.parametrize("lattice", ["three-way", "diamond"])
def test_drawn_numbers_are_even(lattice, seed):
    """Chi-squared over ten equal bins: 27.9 is passed once in a thousand (9 degrees of freedom, table from
    memory)."""
    numbers = drawn_numbers(drift(seed), cells_of(fit_of(lattice, 40, 76)))
    found = np.histogram(numbers, bins=10, range=(0, 1))[0]
    assert ((found - len(numbers) / 10) ** 2 / (len(numbers) / 10)).sum() < 27.9
    assert 0 <= numbers.min() < numbers.max() < 1


@pytest.mark.parametrize("seed", [1, 2, 77])
@pytest.mark.parametrize("ahead", [(1, 0), (0, 1), (1, 1), (1, -1)])
def test_numbers_of_cells_beside_each_other_are_unrelated(seed, ahead):
    """A correlation of N pairs strays by 1/sqrt(N): four of that here."""
    fit = fit_of("square", 60, 50)
    numbers = drawn_numbers(drift(seed), cells_of(fit)).reshape(60, 50)
    i, j = ahead
    here, there = numbers[: 60 - i, max(0, -j) : 50 - max(0, j)], numbers[i:, max(0, j) : 50 + min(0, j)]
    assert abs(np.corrcoef(here.ravel(), there.ravel())[0, 1]) < 4 / here.size**0.5


@pytest.mark.parametrize("direction", DIRECTIONS)
@pytest.mark.parametrize("lattice", ["three-way", "three-way turned", "square", "diamond"])
def test_the_chance_grows_evenly(lattice, direction):
    """In tenths of the way the second infill has 5, 15, ... 95 percent, within four standard deviations; a
    tenth of 3,000 cells strays by at most sqrt(0.25/300) = 3 percent."""
    fit = fit_of(lattice, *{"three-way": (60, 50), "three-way turned": (50, 60)}.get(lattice, (40, 40)))
    cells, second = cells_of(fit), laid(drift(5, direction), fit).infill
    along = cells.x / fit.lattice_width_mm if "to the" in direction else cells.y / fit.lattice_height_mm
    way = 1 - along if direction in ("to the left", "downwards") else along
    shares = [second[(way * 10).clip(0, 9.99).astype(int) == tenth].mean() for tenth in range(10)]
    assert np.abs(np.array(shares) - (np.arange(10) + 0.5) / 10).max() < 0.12
    assert second.mean() == pytest.approx(0.5, abs=0.04)


def test_another_direction_draws_the_same_numbers():
    """Only chances differ: to the right and to the left they add up to one."""
    fit = fit_of("square", 30, 30)
    right, left = (laid(drift(3, way), fit).infill for way in ("to the right", "to the left"))
    numbers, way = drawn_numbers(drift(3), cells_of(fit)), cells_of(fit).x / fit.lattice_width_mm
    assert (right != left).tolist() == ((numbers < way) != (numbers < 1 - way)).tolist()
