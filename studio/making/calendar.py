"""Dates from plates, people's hours and a calendar."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from math import ceil
from typing import TypeVar

from studio.making.chances import expected_failures, failures, labour_factors
from studio.making.course import Course
from studio.making.courses import Courses, slots_of
from studio.making.days import Days
from studio.making.equipment import Printer
from studio.making.plan import hopeless
from studio.making.promised_day import PromisedDay
from studio.making.shop import ShopState
from studio.making.to_make import ToMake, Wait
from studio.making.under_way import meanwhile, others_minutes
from studio.making.work import NOISE_MINUTES, Work, hours_problems, work_of
from studio.making.working_days import working_days_of
from studio.problem import Problem, Refused, refuse_all

__all__ = ["Dates", "PrinterRun", "schedule", "started_already", "unknown_printers"]

T = TypeVar("T")
YEARS = range(2000, 2101)
FEWER = "more people’s hours a day, more printers, or fewer promised hours"
MAKING = Problem("shop_state", "the promised jobs and this one take more than five years", FEWER)
ON_SITE = Problem(
    "shop_state.people_hours_per_day", "the work on site takes more than five years", "more hours a day"
)


@dataclass(frozen=True, slots=True)
class PrinterRun:
    """A plate on printer number `unit` (from 1) of a kind, by the workshop's clock; `plate` is its index in
    the plan, None for a promised job. `again` is a reprint that is expected."""

    printer: str
    unit: int
    plate: int | None
    starts: datetime
    ends: datetime
    again: bool = False


@dataclass(frozen=True, slots=True)
class Dates:
    """Days of being ready: made, cured and packed in the workshop. `starts_on` is the first working day on
    which the deposit has cleared and the colours are approved; `printed_on` when the last plate is done;
    `ready_on`, `working_days` after the start, as expected: labour as planned, and as many plates printed
    again as are expected to fail. `runs` is what every printer does meanwhile, in the order of starting;
    `waits` is what has to be bought and makes it later.

    `held_on` and `held_working_days` hold in `holds_percent` of the seeded courses of making, in which a
    plate fails by the hazard of a printing hour (1 - exp(-hazard hours), each run anew: geometric) and is
    then printed again, and each stage of labour takes what was planned times a log-normal factor of mean 1
    with the studio's spread. Never earlier than the expected ones.

    The work on site is an appointment, made once the panel is sold: `hung_from` is the earliest working day
    on which it can be, after `held_on`, None where nobody goes there; it takes `site_days` working days, on
    which the van is out, and no other job has it. A carrier has it on the road for `road_days`
    working days, and takes none there.
    """

    working_days: int
    starts_on: date
    printed_on: date
    ready_on: date
    held_working_days: int
    held_on: date
    holds_percent: int
    runs: tuple[PrinterRun, ...] = ()
    hung_from: date | None = None
    site_days: int = 0
    waits: tuple[Wait, ...] = ()
    road_days: int = 0

    @property
    def promise(self) -> PromisedDay:
        return PromisedDay(self.held_on, self.starts_on, self.held_working_days, self.hung_from)


def schedule(
    job: ToMake, shop: ShopState, as_of: date, printers: Sequence[Printer], failures_per_hour: float = 0.0
) -> Dates:
    """When the panel can be ready, and on the wall: as expected, and as it is promised.

    Promised jobs come first: their printers' hours in runs of the longest length, their people's hours before
    ours, less those in which these runs are put on; of jobs under way only what is left when ours begins.
    Then the labour before printing, the plates, the labour after it, and curing (calendar days). A plate is
    put on only while somebody is there and takes `swap_minutes` of people's time; it then runs unattended.
    While the day lasts, the longest plate that ends before closing goes first; towards the evening the
    longest of all. A run that fails is counted whole. All plates of a filament that has to be bought wait for
    it, others are printed meanwhile. `starts_on` and `working_days` more working days give `ready_on`.

    Raises Refused where no calendar, no attended hours or no five years lead to a date, or plates fail too
    often.
    """
    refuse_all(_problems(shop, as_of))
    refuse_all(hopeless(job.plates, failures_per_hour))
    calendar = working_days_of(shop)
    starts_on = calendar.first(as_of + timedelta(days=shop.start_days))
    shop = meanwhile(shop, printers, as_of, starts_on)
    days = Days(calendar, starts_on, shop)
    line = _Line(job, shop, printers, failures_per_hour, days)
    course, printed, ready = line.expected(job.waits)
    held = max(ready, _within(line.held(), _late(shop)))
    site_days = ceil(job.site / (60 * shop.people_hours_per_day) - NOISE_MINUTES)
    there = site_days > 0 or job.road_days > 0
    hung = _within(line.hung(held, max(0, site_days)), ON_SITE) if there else None
    return Dates(
        working_days=ready,
        starts_on=starts_on,
        printed_on=days.dates[printed],
        ready_on=days.dates[ready],
        held_working_days=held,
        held_on=days.dates[held],
        holds_percent=shop.promise_holds_percent,
        runs=_runs(course, days),
        hung_from=None if hung is None else days.dates[hung],
        site_days=max(0, site_days),
        waits=line.binding(ready, held, hung),
        road_days=job.road_days,
    )


def started_already(as_of: date, today: date) -> Iterator[Problem]:
    """The problem of a start in the past, for those who know what day it is."""
    if as_of < today:
        reason = f"{as_of.isoformat()} is {(today - as_of).days} days ago: nothing can start then"
        yield Problem("as_of", reason, f"{today.isoformat()} or later")


def _problems(shop: ShopState, as_of: date) -> Iterator[Problem]:
    if as_of.year not in YEARS:
        yield Problem(
            "as_of", f"the year {as_of.year} has no calendar", f"a day from {YEARS[0]} to {YEARS[-1]}"
        )
    yield from hours_problems(shop)


def unknown_printers(shop: ShopState, printers: Sequence[Printer]) -> Iterator[Problem]:
    """The problems of jobs that are promised on printers which these rates do not have, for those who type
    both. To `schedule` they are in nobody's way: a printer that was bought since a rate book was written
    prints no option of that book."""
    names = {printer.name for printer in printers}
    for index, promise in enumerate(shop.promised):
        if (promise.printer or promise.printer_hours) and promise.printer not in names:
            reason = f"jobs are booked on “{promise.printer}”, and these rates have no printer of that name"
            remedy = f"book them on another ({', '.join(sorted(names))}), or use newer rates"
            yield Problem(f"shop_state.promised.{index}.printer", reason, remedy)


def _within(found: T | None, problem: Problem) -> T:
    if found is None:
        raise Refused(problem)
    return found


def _late(shop: ShopState) -> Problem:
    share = f"{100 - shop.promise_holds_percent} %"
    return Problem(
        "shop_state", f"in {share} of the courses of making this takes more than five years", FEWER
    )


@dataclass(frozen=True, slots=True)
class _Line:
    """The way from the start to being ready, in numbers of working days."""

    job: ToMake
    shop: ShopState
    printers: Sequence[Printer]
    failures_per_hour: float
    days: Days

    def expected(self, waits: Sequence[Wait]) -> tuple[Course, int, int]:
        """The course as expected, when its last plate is off, when it is ready."""
        failures = expected_failures(self.failures_per_hour, [plate.minutes for plate in self.job.plates])
        course = Course(self._work(waits), self.days, failures)
        before = others_minutes(self.shop, course.work) + self.job.before
        printed, made = _within(course.go(before, self.job.after), MAKING)
        return course, printed, _within(self._ready(made), MAKING)

    def held(self) -> int | None:
        """The day on or before which the promised share of seeded courses is ready, if there is one."""
        work, job, shop = self._work(self.job.waits), self.job, self.shop
        factors = labour_factors(shop.labour_spread, 2)
        fails = failures(self.failures_per_hour, [minutes for minutes, _ in slots_of(work)])
        before = others_minutes(shop, work) + job.before * factors[:, 0]
        made = Courses(work, self.days, before, job.after * factors[:, 1], fails).go()
        enough = -(-shop.promise_holds_percent * len(made) // 100)
        return self._ready(sorted(made.tolist())[enough - 1])

    def hung(self, held: int, site_days: int) -> int | None:
        """The first day on which the work on site can begin, if it can also end: nobody else has the van on
        any of its days."""
        come = [self._comes(wait) for wait in self.job.waits if wait.needed_for == "site"]
        hung = max([held + 1, *come]) if site_days else max([held, *come]) + self.job.road_days
        while self.days.reach(hung + max(1, site_days) - 1):
            dates = self.days.dates[hung : hung + site_days]
            out = [n for n, day in enumerate(dates, 1) if day in self.shop.van_out]
            if not out:
                return hung
            hung += out[-1]
        return None

    def binding(self, ready: int, held: int, hung: int | None) -> tuple[Wait, ...]:
        """Those of the things to be bought without which it would be ready, or hung, earlier; where none
        alone keeps it waiting, all of those that do so together."""

        def earlier(*without: Wait) -> bool:
            return self.expected([wait for wait in self.job.waits if wait not in without])[2] < ready

        inside = [wait for wait in self.job.waits if wait.needed_for != "site"]
        alone = [wait for wait in inside if earlier(wait)]
        together = inside if inside and not alone and earlier(*inside) else alone
        outside = (wait for wait in self.job.waits if wait not in inside)
        return (*together, *(wait for wait in outside if hung == self._comes(wait) > held + 1))

    def _work(self, waits: Sequence[Wait]) -> Work:
        """Where a thing comes on no day within reach, the courses find out."""
        comes = {wait: self._on(wait) for wait in waits}
        filaments = {wait.name: day for wait, day in comes.items() if wait.needed_for == "printing"}
        making = (day for wait, day in comes.items() if wait.needed_for == "making")
        after_from = max(making, default=date.min)
        return work_of(self.job.plates, self.shop, self.printers, filaments, after_from)

    def _on(self, wait: Wait) -> date:
        return self.days.starts_on + timedelta(days=wait.days)

    def _comes(self, wait: Wait) -> int:
        return _within(self.days.on_or_after(self._on(wait)), MAKING)

    def _ready(self, made: int) -> int | None:
        """The day on which a panel made on day `made` is cured, if there is one."""
        if not self.days.reach(made):
            return None
        return self.days.on_or_after(self.days.dates[made] + timedelta(days=self.shop.curing_days))


def _runs(course: Course, days: Days) -> tuple[PrinterRun, ...]:
    runs = (
        PrinterRun(
            course.work.kinds[run.kind].printer,
            run.unit,
            run.plate,
            days.clock(run.starts),
            days.clock(run.ends),
            run.again,
        )
        for run in course.runs
    )
    return tuple(sorted(runs, key=lambda run: (run.starts, run.printer, run.unit)))
