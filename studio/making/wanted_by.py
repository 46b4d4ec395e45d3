"""Whether a day that a client wants it by holds, and what would make it hold. Pure."""

from dataclasses import dataclass
from datetime import date, timedelta

from studio.making.promised_day import PromisedDay
from studio.making.working_days import DAY, WorkingDays

__all__ = ["WantedBy", "wanted_by"]


@dataclass(frozen=True, slots=True)
class WantedBy:
    """Something that is wanted by a day, judged as promised days are: `there_on` is when it is ready, or when
    the work on site ends that begins as early as it can. `start_by` is the last working day on which deposit
    and colours can be there for it to hold; None where that is over. After `starts_on`, the start that is
    promised, others may have taken the place that it needs. `collected` is the same for the panel
    ready in the workshop, where otherwise somebody brings it."""

    wanted_on: date
    there_on: date
    starts_on: date
    start_by: date | None
    collected: "WantedBy | None" = None

    @property
    def holds(self) -> bool:
        return self.there_on <= self.wanted_on


def wanted_by(
    wanted_on: date, promise: PromisedDay, site_days: int, calendar: WorkingDays, today: date
) -> WantedBy:
    """`promise` is that of `today`; the work on site takes `site_days`. What is promised is a number of
    working days from the start, so the last start is so many before the last working day that is not after
    `wanted_on`."""
    days, start = promise.working_days, promise.starts_on
    ready = WantedBy(wanted_on, promise.ready_on, start, _back(wanted_on, days, calendar, today))
    if promise.hung_from is None:
        return ready
    more = max(0, site_days - 1)
    there_on = _on(promise.hung_from, more, calendar)
    days += calendar.between(promise.ready_on, promise.hung_from) + more
    return WantedBy(wanted_on, there_on, start, _back(wanted_on, days, calendar, today), ready)


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
