"""Minutes that pass, where the clock jumps."""

from datetime import date, datetime

import pytest

from studio.making.days import Days
from studio.making.shop import ShopState
from studio.making.working_days import working_days_of
from studio.problem import Refused


def days(start: date, **changes: object) -> Days:
    shop = ShopState(working_days=(1, 2, 3, 4, 5, 6, 7), **changes)
    return Days(working_days_of(shop), start, shop)


def test_clocks_go_forward_in_a_night_of_23_hours() -> None:
    # IANA time zone data: Europe/London 2026-03-29 00:30 to 03:30 are two hours.
    found = days(date(2026, 3, 29))
    assert [found.clock(minutes) for minutes in (30, 150)] == [
        datetime(2026, 3, 29, 0, 30),
        datetime(2026, 3, 29, 3, 30),
    ]
    assert found.reach(1)
    assert found.opening == [8 * 60, 8 * 60 + 24 * 60]  # nine o'clock is after eight hours


def test_clocks_go_back_in_a_night_of_25_hours() -> None:
    found = days(date(2026, 10, 24), attended_to_hour=24)
    assert found.reach(2)
    assert [(a / 60, b / 60) for a, b in zip(found.opening, found.closing, strict=True)] == [
        (9, 24),
        (24 + 10, 24 + 25),
        (49 + 9, 49 + 24),
    ]
    assert found.clock(49 * 60) == datetime(2026, 10, 26)


def test_another_country_changes_its_clocks_on_another_night() -> None:
    # IANA time zone data: America/New_York goes forward on 2026-03-08.
    found = days(date(2026, 3, 8), time_zone="America/New_York")
    assert found.reach(0)
    assert found.opening == [8 * 60]
    assert found.clock(8 * 60) == datetime(2026, 3, 8, 9)


def test_days_are_found_by_date() -> None:
    shop = ShopState()
    found = Days(working_days_of(shop), date(2026, 4, 2), shop)  # the Thursday before Easter
    assert [found.on_or_after(date(2026, 4, day)) for day in (2, 3, 6, 7, 8)] == [0, 1, 1, 1, 2]
    assert found.on_or_after(date(2040, 1, 1)) is None
    assert not found.reach(5000)


@pytest.mark.parametrize("name", ["Marram/Halt", "../etc", "/etc/hosts", "Europe"])
def test_a_time_zone_that_nobody_keeps(name: str) -> None:
    with pytest.raises(Refused) as caught:
        days(date(2026, 3, 29), time_zone=name)
    assert caught.value.problems[0].field == "shop_state.time_zone"
