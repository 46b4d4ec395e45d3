"""A day by which it is wanted, around Easter 2026 in Bavaria: no work on 3 and 6 April."""

from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.making.calendar import Dates
from studio.making.shop import Calendar
from studio.making.wanted_by import wanted_by
from studio.making.working_days import working_days_of

WORKS = working_days_of(Calendar(country="DE", subdivision="BY"))
TODAY, START = date(2026, 3, 2), date(2026, 3, 12)
# Ready ten working days after Thursday 12 March: 13, 16 to 20, 23 to 26 March.
COLLECTED = Dates(8, START, date(2026, 3, 18), date(2026, 3, 24), 10, date(2026, 3, 26), 90)
# Hung on Friday 27 and Monday 30 March.
HUNG = replace(COLLECTED, hung_from=date(2026, 3, 27), site_days=2)


def asked(dates: Dates, month: int, day: int):
    return wanted_by(date(2026, month, day), dates.promise, dates.site_days, WORKS, TODAY)


@pytest.mark.parametrize(
    ("month", "day", "holds", "start_by"),
    [
        (3, 26, True, START),
        (3, 25, False, date(2026, 3, 11)),
        (4, 6, True, date(2026, 3, 19)),  # Easter Monday: as if Thursday 2 April was said
        (4, 7, True, date(2026, 3, 20)),
        (3, 15, False, None),  # Sunday: ten working days before Friday 13 March is 27 February
        (3, 16, False, date(2026, 3, 2)),
    ],
)
def test_it_holds_as_promised_days_do(month, day, holds, start_by) -> None:
    found = asked(COLLECTED, month, day)
    assert (found.holds, found.start_by, found.collected) == (holds, start_by, None)


def test_on_the_wall_is_when_the_hanging_ends() -> None:
    found = asked(HUNG, 3, 30)
    assert (found.there_on, found.holds, found.start_by) == (date(2026, 3, 30), True, START)
    late = asked(HUNG, 3, 27)
    assert (late.there_on, late.holds, late.start_by) == (date(2026, 3, 30), False, date(2026, 3, 11))


def test_collected_it_may_hold_where_hung_it_does_not() -> None:
    found = asked(HUNG, 3, 26)
    assert not found.holds
    assert found.collected is not None
    assert found.collected.holds
    assert found.collected == asked(COLLECTED, 3, 26)


DAYS = [day for day in WORKS.since(TODAY) if day < date(2026, 9, 1)]


@given(st.dates(TODAY, date(2026, 6, 30)), st.sampled_from([(COLLECTED, 10), (HUNG, 12)]))
def test_it_holds_from_every_start_up_to_the_last_and_from_none_after_it(wanted_on, asked_for) -> None:
    """By counting forward from every working day."""
    dates, far = asked_for
    found = wanted_by(wanted_on, dates.promise, dates.site_days, WORKS, TODAY)
    good = [start for start, end in zip(DAYS, DAYS[far:], strict=False) if end <= wanted_on]
    assert found.start_by == max(good, default=None)
    assert found.holds == (START in good)
