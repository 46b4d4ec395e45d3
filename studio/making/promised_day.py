"""The day of being ready that an offer names, and what it becomes once its condition has lapsed. Pure."""

from dataclasses import dataclass
from datetime import date, timedelta
from itertools import islice

from studio.making.shop import Calendar
from studio.making.working_days import WorkingDays, working_days_of
from studio.problem import Problem, Refused

__all__ = ["PromisedDay", "final_day"]

TOO_FAR = Problem(
    "shop_state.working_days", "the promised working days take more than five years", "more working days"
)


@dataclass(frozen=True, slots=True)
class PromisedDay:
    """Ready on `ready_on`, which is `working_days` after `starts_on`, if the deposit has cleared and the
    colours are approved by then. `hung_from` is the first day on which it can be brought or hung, None where
    nobody goes there or nobody said."""

    ready_on: date
    starts_on: date
    working_days: int
    hung_from: date | None = None

    def as_of(self, today: date, calendar: Calendar) -> "PromisedDay":
        """The promise itself while its start has not passed; else as many working days, counted from `today`
        as they were when it was made: from the first working day on which deposit and colours can be there.
        It can be hung as many working days later as it could. Raises Refused where the calendar leads
        nowhere."""
        if today <= self.starts_on:
            return self
        works = working_days_of(calendar)
        starts_on = works.first(today + timedelta(days=calendar.start_days))
        ready_on = _after(starts_on, self.working_days, works)
        later = works.between(self.ready_on, self.hung_from) if self.hung_from else 0
        hung_from = _after(ready_on, later, works) if later else None
        return PromisedDay(ready_on, starts_on, self.working_days, hung_from)


def final_day(working_days: int, cleared_on: date, approved_on: date, calendar: Calendar) -> date:
    """The day of being ready that follows from what was agreed, `working_days`, once both have happened on
    which it hangs: the deposit has cleared and the colours are approved. They are counted from the later of
    the two, or the first working day after it. Raises Refused where the calendar leads nowhere."""
    works = working_days_of(calendar)
    return _after(works.first(max(cleared_on, approved_on)), working_days, works)


def _after(start: date, working_days: int, works: WorkingDays) -> date:
    found = next(islice(works.since(start), working_days, None), None)
    if found is None:
        raise Refused(TOO_FAR)
    return found
