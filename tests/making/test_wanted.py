"""Plates for the day and for the night, and what they are worth in days."""

import pytest

from studio.making.shop import Promise, ShopState
from studio.making.wanted import Wanted, wanted_minutes
from studio.problem import Refused
from tests.making.made import printer
from tests.making.test_calendar import AT_ONCE, dates

SHOP = ShopState(**AT_ONCE)  # from 9 to 17:30, swaps of 10 minutes


def test_one_printer() -> None:
    # On at 9:10, off at 17:20; on at 17:30, off at 8:30 (its longest run; 9:00 would do).
    assert wanted_minutes(SHOP, [printer()]) == {"Small bed": Wanted(490, 900, 1)}
    long_runs = [printer(longest_run_minutes=2000)]
    assert wanted_minutes(SHOP, long_runs) == {"Small bed": Wanted(490, 930, 1)}


def test_four_printers_wait_for_one_another() -> None:
    # One person: the last is on at 9:40, off at 17:20. The first waits till 17:00 for its night plate, which
    # may last until its turn at 9:00; so does the last one's, from 17:30 until 9:30.
    four = [printer(count=3, longest_run_minutes=2000), printer("Large bed", longest_run_minutes=2000)]
    assert wanted_minutes(SHOP, four) == dict.fromkeys(("Small bed", "Large bed"), Wanted(460, 960, 1))
    two_people = ShopState(**AT_ONCE, people_hours_per_day=17)
    assert wanted_minutes(two_people, four)["Large bed"] == Wanted(480, 940, 1)


def test_a_day_of_several_plates() -> None:
    # 500 minutes with swaps: two of 240 + 10. A night plate that fits by day would be put on by day.
    assert wanted_minutes(SHOP, [printer(longest_run_minutes=300)])["Small bed"] == Wanted(240, 240, 2)
    assert wanted_minutes(SHOP, [printer()], {"Small bed": 200}) == {
        "Small bed": Wanted(500 / 3 - 10, 500 / 3 - 10, 3)
    }


def test_people_without_time_for_swaps_by_day() -> None:
    # Half an hour a day for two printers: one swap each.
    few = ShopState(**AT_ONCE, people_hours_per_day=0.5)
    assert wanted_minutes(few, [printer(count=2)])["Small bed"] == Wanted(900, 900, 0)
    assert wanted_minutes(few, [printer()])["Small bed"] == Wanted(490, 900, 1)
    # Three swaps for one printer are two plates by day and one by night, though three runs of 200 would fit.
    assert wanted_minutes(few, [printer(longest_run_minutes=200)])["Small bed"] == Wanted(200, 200, 2)


def test_what_is_promised_does_not_matter() -> None:
    busy = ShopState(**AT_ONCE, promised=(Promise(printer="Small bed", printer_hours=99, people_hours=99),))
    assert wanted_minutes(busy, [printer()]) == wanted_minutes(SHOP, [printer()])


def test_days_and_nights_take_turns() -> None:
    assert [Wanted(100, 900, 2).limit_minutes(number) for number in range(5)] == [100, 100, 900, 100, 100]
    assert Wanted(900, 900, 0).limit_minutes(7) == 900


def test_three_days_instead_of_five() -> None:
    # 4,170 minutes on one printer. Plates as long as they may be, evened out, are five of 834: one a day,
    # since each ends after closing. The same minutes by day and by night are done the third night.
    wanted = wanted_minutes(SHOP, [printer()])["Small bed"]
    cut = [wanted.limit_minutes(number) for number in range(6)]
    assert sum(cut) == 5 * 834
    assert dates(*[834] * 5, shop=SHOP).working_days == 5
    assert dates(*cut, shop=SHOP).working_days == 3


@pytest.mark.parametrize("count", [1, 3, 4, 8])
@pytest.mark.parametrize("hours", [(9, 17.5), (8, 13), (7, 19)])
@pytest.mark.parametrize("people", [7, 20])
@pytest.mark.parametrize("longest", [300, 500, 900])
def test_every_printer_has_its_plates_every_day(
    count: int, hours: tuple[float, float], people: float, longest: float
) -> None:
    shop = ShopState(
        **AT_ONCE,
        working_days=(1, 2, 3, 4, 5, 6, 7),
        attended_from_hour=hours[0],
        attended_to_hour=hours[1],
        people_hours_per_day=people,
    )
    wanted = wanted_minutes(shop, [printer(count=count, longest_run_minutes=longest)])["Small bed"]
    a_day = wanted.day_plates + 1
    cut = [wanted.limit_minutes(number) for number in range(4 * a_day)] * count
    assert dates(*cut, shop=shop, count=count).working_days == 4


def test_a_workshop_that_never_closes_knows_no_night() -> None:
    always = ShopState(**AT_ONCE, attended_from_hour=0, attended_to_hour=24)
    assert wanted_minutes(always, [printer()])["Small bed"] == Wanted(705, 705, 2)  # 1,430 / 2 - 10


def test_hours_in_which_nothing_is_made() -> None:
    with pytest.raises(Refused, match="nobody is ever there"):
        wanted_minutes(ShopState(attended_from_hour=9, attended_to_hour=9), [printer()])
