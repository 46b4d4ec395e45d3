"""What an offer's day becomes once its condition has lapsed; counted by hand on March 2026, whose 2nd is a
Monday."""

from dataclasses import replace
from datetime import date

import pytest

from studio.making.promised_day import PromisedDay, final_day
from studio.making.shop import Calendar
from studio.problem import Refused

CALENDAR = Calendar(deposit_days=2, sample_days=2)
OFFERED = PromisedDay(ready_on=date(2026, 3, 13), starts_on=date(2026, 3, 6), working_days=5)


@pytest.mark.parametrize("day", [2, 5, 6])
def test_it_stands_until_its_start_has_passed(day):
    assert OFFERED.as_of(date(2026, 3, day), CALENDAR) is OFFERED


@pytest.mark.parametrize(
    ("today", "starts_on", "ready_on"),
    [
        (date(2026, 3, 7), date(2026, 3, 9), date(2026, 3, 16)),  # Saturday and two days: Monday
        (date(2026, 3, 10), date(2026, 3, 12), date(2026, 3, 19)),
        (date(2026, 3, 12), date(2026, 3, 16), date(2026, 3, 23)),  # Saturday is no start
    ],
)
def test_then_it_is_counted_anew_from_the_day_a_deposit_can_have_cleared(today, starts_on, ready_on):
    found = OFFERED.as_of(today, CALENDAR)
    assert (found.starts_on, found.ready_on, found.working_days) == (starts_on, ready_on, 5)


def test_it_can_be_hung_as_many_working_days_later():
    """Ready on Friday the 13th, hung from Tuesday: two working days. Ready on Thursday the 19th: Monday."""
    hung = replace(OFFERED, hung_from=date(2026, 3, 17)).as_of(date(2026, 3, 10), CALENDAR).hung_from
    assert hung == date(2026, 3, 23)


def test_days_off_are_passed_over():
    shut = replace(CALENDAR, days_off=(date(2026, 3, 12), date(2026, 3, 13)))
    found = OFFERED.as_of(date(2026, 3, 10), shut)
    assert (found.starts_on, found.ready_on) == (date(2026, 3, 16), date(2026, 3, 23))


def test_as_many_working_days_as_were_promised():
    """In steps: none is the start itself."""
    found = [replace(OFFERED, working_days=n).as_of(date(2026, 3, 10), CALENDAR) for n in range(4)]
    assert [each.ready_on.day for each in found] == [12, 13, 16, 17]


def test_a_calendar_that_leads_nowhere_names_no_day():
    with pytest.raises(Refused):
        replace(OFFERED, working_days=5000).as_of(date(2026, 3, 10), CALENDAR)


@pytest.mark.parametrize(
    ("cleared", "approved", "final"),
    [
        (3, 3, 6),  # three working days after Tuesday
        (3, 5, 10),  # the colours are later: Thursday, Friday, Monday, Tuesday
        (5, 3, 10),  # or the deposit
        (7, 2, 12),  # on a Saturday: counted from Monday
    ],
)
def test_the_final_day_counts_from_the_later_of_deposit_and_colours(cleared, approved, final):
    days = date(2026, 3, cleared), date(2026, 3, approved)
    assert final_day(3, *days, CALENDAR) == date(2026, 3, final)
    assert final_day(3, *days, replace(CALENDAR, deposit_days=60)) == date(2026, 3, final)
