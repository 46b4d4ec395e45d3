"""Whole spools, against the published bound of first-fit decreasing."""

from decimal import Decimal
from math import ceil, log

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.making.shop import ShopState, Stock, stock_of
from studio.making.uses import NOISE_G, bins_for, spools_to_buy


def test_seven_plates_of_380_g_need_four_spools_not_three() -> None:
    assert spools_to_buy([380] * 7, 0, 1000, 0) == 4  # 2660 g


def test_what_is_promised_is_nobody_else_s() -> None:
    stock = (
        Stock(filament="Tea", shelf_g=1500, promised_g=600),
        Stock(filament="Tea", shelf_g=300.5),
        Stock(filament="Indigo", shelf_g=100, promised_g=400),
    )
    shop = ShopState(stock=stock)
    free = [stock_of(shop, filament) for filament in ("Tea", "Indigo", "Moss")]
    assert free == [Decimal("1200.5"), 0, 0]


def test_first_fit_decreasing_on_the_tight_instance() -> None:
    # G. Dosa: FFD <= 11/9 OPT + 6/9, tight (Theoretical Computer Science 2013); instance from memory, optimum
    # 9.
    sizes = [51] * 6 + [27] * 6 + [26] * 6 + [23] * 12
    assert len(bins_for(sizes, 100)) == 11 <= 11 / 9 * 9 + 6 / 9


@pytest.mark.parametrize(
    ("shelf_g", "bought"),
    [(0, 4), (379, 4), (380, 3), (760, 3), (1000, 3), (1400, 2), (3000, 1), (3379, 1), (3380, 0)],
)
def test_the_shelf_is_full_spools_and_one_open_one(shelf_g: float, bought: int) -> None:
    # 1400 g are a full spool (two plates) and an open one (one plate): four plates are left for two spools.
    plates = [380.0] * 7
    assert spools_to_buy(plates, 0, 1000, shelf_g) == bought


def test_expected_reprints_use_what_is_left_first() -> None:
    assert spools_to_buy([600], 400, 1000, 0) == 1
    assert spools_to_buy([600], 401, 1000, 0) == 2
    assert spools_to_buy([600], 401, 1000, 1200) == 0


def test_a_plate_may_take_a_whole_spool() -> None:
    assert spools_to_buy([1000.0, 999.99, 0.0], 0, 1000, 0) == 2
    assert spools_to_buy([], 0, 1000, 0) == 0


@given(st.lists(st.floats(1, 1000), max_size=40), st.floats(0, 3000), st.floats(0, 5000))
def test_never_below_the_grams_and_never_more_than_a_spool_a_plate(
    plates: list[float], reprints: float, shelf: float
) -> None:
    bought = spools_to_buy(plates, reprints, 1000, shelf)
    assert bought * 1000 + shelf >= sum(plates) + reprints - 1
    assert bought <= len(plates) + ceil(reprints / 1000)


@given(
    st.lists(st.floats(1, 1000) | st.sampled_from([250.0, 500.01]), max_size=60),
    st.lists(st.floats(0, 1000), max_size=9),
)
def test_each_goes_into_the_first_bin_with_room(sizes: list[float], opened: list[float]) -> None:
    left = list(opened)
    for size in sorted(sizes, reverse=True):
        place = next((i for i, room in enumerate(left) if size <= room + NOISE_G), len(left))
        left[place:] = [1000 - size] if place == len(left) else [left[place] - size, *left[place + 1 :]]
    assert bins_for(sizes, 1000, opened) == left


class Weighed(float):
    """Grams that count how often they are held against the room in a bin."""

    times = 0

    def __gt__(self, room: float) -> bool:
        Weighed.times += 1
        return float(self) > room


@pytest.mark.parametrize("plates", [500, 2_000, 8_000])
def test_each_is_held_against_as_many_bins_as_the_tree_is_high(plates: int) -> None:
    Weighed.times = 0
    assert len(bins_for([Weighed(300 + n % 90) for n in range(plates)], 1000)) > plates / 3
    assert Weighed.times == plates * ceil(log(plates, 2))
