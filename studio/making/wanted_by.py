"""Whether a day that a client wants it by holds, and what would make it hold. Pure."""

from dataclasses import dataclass
from datetime import date, timedelta

from studio.making.calendar import Dates
from studio.making.working_days import DAY, WorkingDays

__all__ = ["WantedBy", "wanted_by"]


@dataclass(frozen=True, slots=True)
class WantedBy:
    """Something that is wanted by a day, judged as promised days are: `there_on` is when it is ready, or when
    the work on site ends that begins as early as it can. `start_by` is the last working day on which deposit
    and colours can be there for it to hold; None where that is over. `collected` is the same for the panel
    ready in the workshop, where otherwise somebody brings it."""

    wanted_on: date
    there_on: date
    start_by: date | None
    collected: "WantedBy | None" = None

    @property
    def holds(self) -> bool:
        return self.there_on <= self.wanted_on


def wanted_by(wanted_on: date, dates: Dates, calendar: WorkingDays, today: date) -> WantedBy:
    """`dates` are those as of `today`. What is promised is a number of working days from the start, so the
    last start is so many before the last working day that is not after `wanted_on`."""
    days = dates.held_working_days
    ready = WantedBy(wanted_on, dates.held_on, _back(wanted_on, days, calendar, today))
    if dates.hung_from is None:
        return ready
    more = calendar.between(dates.held_on, dates.hung_from) + dates.site_days - 1
    there_on = _on(dates.hung_from, dates.site_days - 1, calendar)
    return WantedBy(wanted_on, there_on, _back(wanted_on, days + more, calendar, today), ready)


def _on(day: date, working_days: int, calendar: WorkingDays) -> date:
    """So many working days after a working day."""
    for _ in range(working_days):
        day = calendar.first(day + DAY)
    return day


def _back(day: date, working_days: int, calendar: WorkingDays, today: date) -> date | None:
    """So many working days before the last one that is not after `day`; None where that is before today."""
    while day >= today:
        if calendar.works(day):
            if working_days == 0:
                return day
            working_days -= 1
        day -= timedelta(days=1)
    return None
