"""One job cut into plates in several ways: nothing is lost, and the calendar says which is made first."""

from collections import Counter
from dataclasses import replace
from datetime import date

import pytest

from studio.making.cuts import cuts_of, days_to_make
from studio.making.measured import NO_FACTORS
from studio.making.plate import Plate
from studio.making.plates import plates_for
from studio.making.shop import Promise, ShopState, Stock
from studio.making.wanted import Wanted
from studio.making.work import work_of
from studio.problem import Refused
from tests.making.made import INDIGO, TEA, part, printer, slab
from tests.making.test_calendar import AT_ONCE

SHOP = ShopState(**AT_ONCE)  # from 9 to 17:30, swaps of 10 minutes
ONE = printer()
BLOCK = slab(40, 40)


def blocks(count: int, **kwargs):
    """Pieces of which a bed holds 25, for 17 hours: only the longest run ends a plate."""
    return part(BLOCK, count, depth_mm=40, **kwargs)


def minutes_of(count: int) -> float:
    return plates_for([blocks(count)], [printer(longest_run_minutes=20_000)], [TEA])[0].minutes


def plate(minutes: float) -> Plate:
    return Plate("Small bed", "Tea", (), 1, minutes, 1.0, 0.1)


def pieces(plates: tuple[Plate, ...]) -> Counter[int]:
    return sum((Counter({item.part: item.count}) for p in plates for item in p.parts), Counter())


def days(plates: tuple[Plate, ...], shop: ShopState = SHOP, before: float = 0, after: float = 0) -> float:
    return days_to_make(plates, before, after, shop, [ONE], 0.0)


def test_every_cut_holds_every_piece_within_the_longest_run() -> None:
    parts = [blocks(80, spares=3), blocks(40, spares=1, filament="Indigo"), part(slab(200, 12), 7)]
    cuts = cuts_of(parts, [ONE], [TEA, INDIGO], NO_FACTORS, SHOP)
    assert len(cuts) == 3
    assert cuts[0] == plates_for(parts, [ONE], [TEA, INDIGO])
    for cut in cuts:
        assert pieces(cut) == {0: 83, 1: 41, 2: 7}
        assert max(p.minutes for p in cut) <= ONE.longest_run_minutes


def test_days_and_nights_take_turns_over_all_filaments() -> None:
    parts = [blocks(40), blocks(40, filament="Indigo")]
    *_, by_hours = cuts_of(parts, [ONE], [TEA, INDIGO], NO_FACTORS, SHOP)
    a_day, a_night = (max(n for n in range(1, 26) if minutes_of(n) <= limit) for limit in (490, 900))
    assert a_day < a_night
    for number, each in enumerate(by_hours[:-1]):
        most = a_night if number % 2 else a_day
        last_of_filament = by_hours[number + 1].filament != each.filament
        assert each.pieces == most or (last_of_filament and each.pieces < most)


def test_a_piece_that_takes_longer_than_the_day_has_a_plate_of_its_own() -> None:
    large = part(slab(200, 200), 2, depth_mm=40)
    full = plates_for([large], [ONE], [TEA])
    assert all(490 < p.minutes < 900 for p in full)
    assert cuts_of([large], [ONE], [TEA], NO_FACTORS, SHOP) == (full,)  # all three ways are the same


def test_three_days_instead_of_five() -> None:
    # As in test_wanted: five plates of 834 minutes are one a day; the same minutes by day and by night are
    # done the third night, and can be taken off on the morning after.
    assert days((plate(834),) * 5) == 5
    cut = tuple(plate(Wanted(490, 900, 1).limit_minutes(number)) for number in range(6))
    assert days(cut) == 3


def test_full_plates_may_be_made_before_even_ones() -> None:
    # 19 blocks of which 8 fill a longest run of 329 minutes. Full plates: 8 from 9:10 to 14:39, 3 from 14:49
    # to 16:56, 8 from 17:06 overnight. Even ones: 7 from 9:10 to 13:58; neither 7 nor 5 end before
    # closing then, so that the last 5 wait for the morning and the labour after them for the afternoon.
    fits = printer(longest_run_minutes=minutes_of(8))
    even, full, *_ = cuts_of([blocks(19)], [fits], [TEA], NO_FACTORS, SHOP)
    assert [p.pieces for p in even] == [7, 7, 5]
    assert [p.pieces for p in full] == [8, 8, 3]
    assert days(full, after=400) == 1
    assert days(even, after=400) == 2


def test_labour_comes_before_and_after() -> None:
    assert days((plate(60),)) == 0
    assert days((plate(60),), before=420) == 1
    assert days((plate(60),), before=420, after=420) == 2


def test_only_the_hours_of_the_workshop_matter() -> None:
    busy = replace(
        SHOP,
        promised=(Promise(printer="Small bed", printer_hours=300, people_hours=300),),
        stock=(Stock(filament="Tea", shelf_g=5000),),
        days_off=tuple(date(2001, 1, day) for day in range(1, 20)),
        country="DE",
        subdivision=None,
        time_zone="Nowhere/At all",
    )
    cut = (plate(400),) * 6
    assert days(cut, busy) == days(cut)
    parts = [blocks(80)]
    assert cuts_of(parts, [ONE], [TEA], NO_FACTORS, busy) == cuts_of(parts, [ONE], [TEA], NO_FACTORS, SHOP)
    assert days(cut, replace(SHOP, attended_from_hour=0, attended_to_hour=24)) < days(cut)
    assert work_of(cut, busy, [ONE]).kinds[0].promised > 0  # and yet the calendar knows of them


def test_a_way_of_cutting_into_too_many_plates_is_left_out(monkeypatch: pytest.MonkeyPatch) -> None:
    parts = [blocks(80)]
    cuts = cuts_of(parts, [ONE], [TEA], NO_FACTORS, SHOP)
    numbers = [len(cut) for cut in cuts]
    assert numbers[0] == numbers[1] < numbers[2]
    monkeypatch.setattr("studio.making.plates.MOST_PLATES", numbers[0])
    assert cuts_of(parts, [ONE], [TEA], NO_FACTORS, SHOP) == cuts[:2]


def test_five_years_are_too_long_and_hours_in_which_nothing_is_made() -> None:
    assert days((plate(60),), before=1e7) == float("inf")
    with pytest.raises(Refused, match="nobody is ever there"):
        cuts_of([blocks(3)], [ONE], [TEA], NO_FACTORS, ShopState(attended_from_hour=9, attended_to_hour=9))
