"""Working days, against public calendars."""

from datetime import date
from itertools import islice

import pytest

from studio.making.shop import ShopState
from studio.making.working_days import working_days_of
from studio.problem import Refused


def test_ten_working_days_over_easter_in_england() -> None:
    # Good Friday 2026-04-03, Easter Monday 2026-04-06: from Friday 2026-03-27 ten working days lead to
    # 2026-04-14 (numpy's busday_offset with these holidays); without holidays to 2026-04-10.
    england = working_days_of(ShopState())
    start, end = date(2026, 3, 27), date(2026, 4, 14)
    assert next(islice(england.since(start), 10, None)) == end
    assert england.between(start, end) == 10
    assert not england.works(date(2026, 4, 3))
    assert not england.works(date(2026, 4, 6))


def test_month_and_year_without_holidays() -> None:
    # NumPy reference, busday_count: 21 in January 2011 and 260 in 2011. England adds its 8 days and the royal
    # wedding.
    england = working_days_of(ShopState())
    assert england.between(date(2010, 12, 31), date(2011, 12, 31)) == 260 - 9
    assert england.between(date(2010, 12, 31), date(2011, 1, 31)) == 21 - 1


@pytest.mark.parametrize(
    ("country", "subdivision", "day", "works"),
    [
        ("GB", "SCT", date(2026, 1, 2), False),  # the second of January, in Scotland only
        ("GB", "ENG", date(2026, 1, 2), True),
        ("DE", "NW", date(2026, 6, 4), False),  # Corpus Christi, in North Rhine-Westphalia
        ("DE", "BE", date(2026, 6, 4), True),
        ("FR", None, date(2026, 7, 14), False),  # national day
        (
            "GB",
            "ENG",
            date(2026, 12, 28),
            False,
        ),  # Boxing Day falls on a Saturday: a day off on Monday instead
    ],
)
def test_holidays_of_countries_and_their_parts(
    country: str, subdivision: str | None, day: date, works: bool
) -> None:
    # Statutory holidays of the countries named, from memory.
    assert working_days_of(ShopState(country=country, subdivision=subdivision)).works(day) is works


def test_days_off_and_weekdays_are_the_studios_own() -> None:
    calendar = working_days_of(ShopState(working_days=(2, 6), days_off=(date(2026, 3, 3),)))
    assert list(islice(calendar.since(date(2026, 3, 2)), 3)) == [
        date(2026, 3, 7),
        date(2026, 3, 10),
        date(2026, 3, 14),
    ]


@pytest.mark.parametrize(
    ("changes", "field", "remedy"),
    [
        ({"country": "XX"}, "shop_state.country", "ISO 3166"),
        ({"subdivision": "Kent"}, "shop_state.subdivision", "ENG, NIR, SCT, WLS"),
        ({"country": "IS", "subdivision": "ENG"}, "shop_state.subdivision", "leave it out"),
    ],
)
def test_calendars_that_nobody_keeps(changes: dict[str, str], field: str, remedy: str) -> None:
    with pytest.raises(Refused) as caught:
        working_days_of(ShopState(**changes))
    assert caught.value.problems[0].field == field
    assert remedy in caught.value.problems[0].remedy


def test_five_years_off() -> None:
    always = tuple(date.fromordinal(date(2026, 1, 1).toordinal() + n) for n in range(5 * 366))
    with pytest.raises(Refused, match="works on no day"):
        working_days_of(ShopState(days_off=always)).first(date(2026, 1, 1))
