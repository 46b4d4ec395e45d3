"""Dates from plates, people's hours and a calendar.

Time is counted in minutes from midnight before the first working day, in the clock time of the workshop.
"""

import heapq
from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from math import ceil

from studio.making.equipment import Printer
from studio.making.plan import MakingPlan
from studio.making.shop import ShopState
from studio.making.working_days import WorkingDays, working_days_of
from studio.problem import Problem, Refused, refuse_all

__all__ = ["Dates", "PrinterRun", "schedule"]

DAY_MINUTES = 24 * 60
YEARS = range(2000, 2101)
NOISE_MINUTES = 1e-6
LEAST_HOURS = 0.1
"""People’s hours a day below which nothing is ever ready."""


@dataclass(frozen=True, slots=True)
class PrinterRun:
    """A plate on printer number `unit` (from 1) of a kind; `plate` is its index in the plan, None for a
    promised job."""

    printer: str
    unit: int
    plate: int | None
    starts: datetime
    ends: datetime


@dataclass(frozen=True, slots=True)
class Dates:
    """`working_days` from cleared deposit and approved colours to ready; `starts_on` the first working day
    on or after as_of + deposit days; `printed_on` when the last plate is done; `ready_on` when the panel
    can leave or is hung. `runs` is what every printer does meanwhile, in the order of starting."""

    working_days: int
    starts_on: date
    printed_on: date
    ready_on: date
    runs: tuple[PrinterRun, ...] = ()


def schedule(
    plan: MakingPlan,
    labour_minutes_before: float,
    labour_minutes_after: float,
    site_minutes: float,
    shop: ShopState,
    as_of: date,
    printers: Sequence[Printer],
) -> Dates:
    """When the panel can be ready, as expected without failures.

    Promised jobs come first: their printers' hours in runs of the longest length, their people's hours before
    ours. Then the labour before printing, the plates, the labour after it, curing (calendar days) and the
    work on site, which takes whole working days. A plate is put on only while somebody is there and takes
    `swap_minutes` of people's time; it then runs unattended. While the day lasts, the longest plate that ends
    before closing goes first; towards the evening the longest of all. `starts_on` and `working_days` more
    working days give `ready_on`.

    Raises Refused where no calendar, no attended hours or no five years lead to a date.
    """
    refuse_all(_problems(shop, as_of, printers))
    calendar = working_days_of(shop)
    starts_on = calendar.first(as_of + timedelta(days=shop.deposit_days))
    work = _Workshop(plan, shop, printers, starts_on)
    before = 60 * sum(promise.people_hours for promise in shop.promised) + labour_minutes_before
    printed_on, made_on = _worked(work, calendar, starts_on, before, labour_minutes_after)
    ready_on = _on_site(calendar, made_on, shop, site_minutes)
    runs = tuple(sorted(work.runs, key=lambda run: (run.starts, run.printer, run.unit)))
    return Dates(calendar.between(starts_on, ready_on), starts_on, printed_on, ready_on, runs)


def _problems(shop: ShopState, as_of: date, printers: Sequence[Printer]) -> Iterator[Problem]:
    if as_of.year not in YEARS:
        yield Problem(
            "as_of", f"the year {as_of.year} has no calendar", f"a day from {YEARS[0]} to {YEARS[-1]}"
        )
    attended = 60 * (shop.attended_to_hour - shop.attended_from_hour)
    if attended < 1:
        hours = f"{shop.attended_from_hour:g} to {shop.attended_to_hour:g} o’clock"
        reason = f"nobody is ever there: attended from {hours}"
        yield Problem("shop_state.attended_to_hour", reason, "an hour later than attended_from_hour")
    elif shop.people_hours_per_day < LEAST_HOURS:
        reason = f"people give {shop.people_hours_per_day:g} hours a day to making"
        yield Problem("shop_state.people_hours_per_day", reason, f"at least {LEAST_HOURS:g}")
    elif min(attended, 60 * shop.people_hours_per_day) < shop.swap_minutes:
        reason = f"swapping a plate takes {shop.swap_minutes:g} minutes, more than a day’s people have"
        yield Problem(
            "shop_state.swap_minutes", reason, "a shorter swap, or more attended and people’s hours a day"
        )
    names = {printer.name for printer in printers}
    for index, promise in enumerate(shop.promised):
        if promise.printer not in names:
            reason = f"no printer is called “{promise.printer}”"
            yield Problem(
                f"shop_state.promised.{index}.printer", reason, f"one of {', '.join(sorted(names))}"
            )


def _worked(
    work: "_Workshop", calendar: WorkingDays, starts_on: date, before: float, after: float
) -> tuple[date, date]:
    """The days on which the last plate is off and on which the labour after printing ends."""
    printed_on = None
    for day in calendar.since(starts_on):
        now = work.begin(day)
        if before > 0:
            work.swap(day, own=False)
            before, now = work.labour(day, before, now)
        if before <= 0 and printed_on is None:
            work.swap(day, own=True, since=now)
            now = max(now, work.done_at(day))
            printed_on = day if now <= work.closing(day) else None
        if printed_on is not None:
            after, now = work.labour(day, after, now)
            if after <= 0:
                return printed_on, day
    reason = "the promised jobs and this one take more than five years"
    raise Refused.because(
        "shop_state", reason, "more people’s hours a day, more printers, or fewer promised hours"
    )


def _on_site(calendar: WorkingDays, made_on: date, shop: ShopState, site_minutes: float) -> date:
    cured = calendar.first(made_on + timedelta(days=shop.curing_days))
    days = ceil(site_minutes / (60 * shop.people_hours_per_day) - NOISE_MINUTES)
    if days <= 0:
        return cured
    first = calendar.first(max(cured, made_on + timedelta(days=1)))
    for number, day in enumerate(calendar.since(first), start=1):
        if number == days:
            return day
    raise Refused.because(
        "shop_state.people_hours_per_day", "the work on site takes more than five years", "more hours a day"
    )


class _Workshop:
    """Printers and people while days pass."""

    def __init__(
        self, plan: MakingPlan, shop: ShopState, printers: Sequence[Printer], starts_on: date
    ) -> None:
        self.shop, self.starts_on = shop, starts_on
        self.midnight = datetime.combine(starts_on, time())
        self.opens, self.closes = 60 * shop.attended_from_hour, 60 * shop.attended_to_hour
        self.queues = {printer.name: _Queue(printer, plan, shop) for printer in printers}
        self.units = [
            (0.0, order, printer.name, unit + 1)
            for order, printer in enumerate(printers)
            for unit in range(printer.count)
        ]
        self.runs: list[PrinterRun] = []
        self.people = ceil(60 * shop.people_hours_per_day / (self.closes - self.opens) - NOISE_MINUTES)
        self.hands: list[float] = []
        self.minutes_left = 0.0
        self.last_end = 0.0

    def start_of(self, day: date) -> float:
        return (day - self.starts_on).days * DAY_MINUTES

    def closing(self, day: date) -> float:
        return self.start_of(day) + self.closes

    def begin(self, day: date) -> float:
        """A new day: everybody is there, nobody has worked yet. When it opens."""
        opening = self.start_of(day) + self.opens
        self.hands = [opening] * self.people
        self.minutes_left = 60 * self.shop.people_hours_per_day
        return opening

    def labour(self, day: date, minutes: float, now: float) -> tuple[float, float]:
        """Work on `minutes` of labour from `now`: what is left of it, and when the day's work stops. The
        day's hours are spread evenly over the time that somebody is there."""
        rate = 60 * self.shop.people_hours_per_day / (self.closes - self.opens)
        done = min(minutes, self.minutes_left, max(0.0, self.closing(day) - now) * rate)
        self.minutes_left -= done
        left = minutes - done
        return (left if left > NOISE_MINUTES else 0.0), now + done / rate

    def swap(self, day: date, own: bool, since: float = 0.0) -> None:
        """Put on plates until the day closes, hands or people's hours run out, or no plate is waiting.
        Only promised jobs' runs unless `own`."""
        self.hands = [max(hand, since) for hand in self.hands]
        heapq.heapify(self.hands)
        idle = []
        heapq.heapify(self.units)
        while self.units and self.minutes_left >= self.shop.swap_minutes:
            free_at, order, name, unit = heapq.heappop(self.units)
            start = max(free_at, self.hands[0]) + self.shop.swap_minutes
            closing = self.closing(day)
            chosen = (
                self.queues[name].take(closing - start, own) if start <= closing + NOISE_MINUTES else None
            )
            if chosen is None:
                idle.append((free_at, order, name, unit))
                continue
            plate, minutes = chosen
            heapq.heapreplace(self.hands, start)
            self.minutes_left -= self.shop.swap_minutes
            heapq.heappush(self.units, (start + minutes, order, name, unit))
            self._note(name, unit, plate, start, start + minutes)
        self.units += idle

    def _note(self, name: str, unit: int, plate: int | None, start: float, end: float) -> None:
        if plate is not None:
            self.last_end = max(self.last_end, end)
        starts, ends = (self.midnight + timedelta(minutes=minutes) for minutes in (start, end))
        self.runs.append(PrinterRun(name, unit, plate, starts, ends))

    def done_at(self, day: date) -> float:
        """When the last plate can be taken off, as far as is known on `day`; the end of time while some
        are waiting."""
        if any(queue.plates for queue in self.queues.values()):
            return float("inf")
        return max(self.last_end, self.start_of(day) + self.opens)


class _Queue:
    """What waits for one kind of printer: promised hours, then plates by their length."""

    def __init__(self, printer: Printer, plan: MakingPlan, shop: ShopState) -> None:
        self.longest = printer.longest_run_minutes
        self.promised = 60 * sum(
            promise.printer_hours for promise in shop.promised if promise.printer == printer.name
        )
        own = enumerate(plan.plates)
        self.plates = sorted((plate.minutes, -index) for index, plate in own if plate.printer == printer.name)

    def take(self, minutes_to_closing: float, own: bool) -> tuple[int | None, float] | None:
        """The next run as (plate, minutes), or None when nothing may start."""
        if self.promised > NOISE_MINUTES:
            minutes = min(self.longest, self.promised)
            self.promised -= minutes
            return None, minutes
        if not own or not self.plates:
            return None
        fitting = bisect_right(self.plates, minutes_to_closing, key=lambda plate: plate[0])
        minutes, index = self.plates.pop(fitting - 1)  # -1 is the longest of all
        return -index, minutes
