"""The day of being ready that an offer names, and what it becomes once its condition has lapsed. Pure."""

from dataclasses import dataclass
from datetime import date, timedelta
from itertools import islice

from studio.making.shop import Calendar
from studio.making.working_days import working_days_of
from studio.problem import Problem, Refused

__all__ = ["PromisedDay"]

TOO_FAR = Problem(
    "shop_state.working_days", "the promised working days take more than five years", "more working days"
)


@dataclass(frozen=True, slots=True)
class PromisedDay:
    """Ready on `ready_on`, which is `working_days` after `starts_on`, if the deposit has cleared and the
    colours are approved by then."""

    ready_on: date
    starts_on: date
    working_days: int

    def as_of(self, today: date, calendar: Calendar) -> "PromisedDay":
        """The promise itself while its start has not passed; else as many working days, counted from `today`
        as they were when it was made: from the first working day on which a deposit can have cleared. Raises
        Refused where the calendar leads nowhere."""
        if today <= self.starts_on:
            return self
        works = working_days_of(calendar)
        starts_on = works.first(today + timedelta(days=calendar.deposit_days))
        ready_on = next(islice(works.since(starts_on), self.working_days, None), None)
        if ready_on is None:
            raise Refused(TOO_FAR)
        return PromisedDay(ready_on, starts_on, self.working_days)
