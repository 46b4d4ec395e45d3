"""Dates from plates, people's hours and a calendar."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from math import ceil
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from studio.making.chances import expected_failures, failures, labour_factors
from studio.making.course import Course
from studio.making.courses import Courses, slots_of
from studio.making.days import Days
from studio.making.equipment import Printer
from studio.making.plan import hopeless
from studio.making.plate import Plate
from studio.making.shop import ShopState
from studio.making.work import NOISE_MINUTES, Work, hours_problems, work_of
from studio.making.working_days import working_days_of
from studio.problem import Problem, Refused, refuse_all

__all__ = ["Dates", "PrinterRun", "ToMake", "schedule", "started_already", "unknown_printers"]

T = TypeVar("T")
YEARS = range(2000, 2101)
HOLDS_IN = 0.8
"""The share of the seeded courses in which a date holds."""
FEWER = "more people’s hours a day, more printers, or fewer promised hours"
MAKING = Problem("shop_state", "the promised jobs and this one take more than five years", FEWER)
HELD = Problem("shop_state", "in 2 of 10 courses of making this takes more than five years", FEWER)
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
    """`working_days` from cleared deposit and approved colours to ready; `starts_on` the first working day
    on or after as_of + deposit days; `printed_on` when the last plate is done; `ready_on` when the panel
    can leave or is hung. All are as expected: labour as planned, and as many plates printed again as are
    expected to fail. `runs` is what every printer does meanwhile, in the order of starting. `site_days` are
    the working days that the work on site takes: the van is out then.

    `held_on` and `held_working_days` hold in 8 of 10 seeded courses of making, in which a plate fails by the
    hazard of a printing hour (1 - exp(-hazard hours), each run anew: geometric) and is then printed again,
    and each stage of labour takes what was planned times a log-normal factor of mean 1 with the studio's
    spread. Never earlier than the expected ones.
    """

    working_days: int
    starts_on: date
    printed_on: date
    ready_on: date
    held_working_days: int
    held_on: date
    runs: tuple[PrinterRun, ...] = ()
    site_days: int = 0


@dataclass(frozen=True, slots=True)
class ToMake:
    """What is to be made: plates, and minutes of labour before printing, after it and on site."""

    plates: Sequence[Plate]
    before: float = 0.0
    after: float = 0.0
    site: float = 0.0


def schedule(
    job: ToMake, shop: ShopState, as_of: date, printers: Sequence[Printer], failures_per_hour: float = 0.0
) -> Dates:
    """When the panel can be ready: as expected, and as it holds in 8 of 10 courses of making.

    Promised jobs come first: their printers' hours in runs of the longest length, their people's hours before
    ours. Then the labour before printing, the plates, the labour after it, curing (calendar days) and the
    work on site, which takes whole working days. A plate is put on only while somebody is there and takes
    `swap_minutes` of people's time; it then runs unattended. While the day lasts, the longest plate that ends
    before closing goes first; towards the evening the longest of all. A run that fails is counted whole.
    `starts_on` and `working_days` more working days give `ready_on`.

    Raises Refused where no calendar, no attended hours or no five years lead to a date, or plates fail too
    often.
    """
    refuse_all(_problems(shop, as_of))
    refuse_all(hopeless(job.plates, failures_per_hour))
    calendar = working_days_of(shop)
    starts_on = calendar.first(as_of + timedelta(days=shop.deposit_days))
    days = Days(calendar, starts_on, shop)
    work = work_of(job.plates, shop, printers)
    minutes = [plate.minutes for plate in job.plates]
    course = Course(work, days, expected_failures(failures_per_hour, minutes))
    printed, made = _within(course.go(_promised(shop) + job.before, job.after), MAKING)
    site_days = _site_days(np.array([job.site]), work)[0]
    ready = _within(_ready(days, made, shop.curing_days, site_days), ON_SITE)
    held = max(ready, _within(_held(work, days, shop, job, failures_per_hour), HELD))
    return Dates(
        working_days=ready,
        starts_on=starts_on,
        printed_on=days.dates[printed],
        ready_on=days.dates[ready],
        held_working_days=held,
        held_on=days.dates[held],
        runs=_runs(course, days),
        site_days=site_days,
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


def _promised(shop: ShopState) -> float:
    """Minutes of people's work that others are promised."""
    return 60 * sum(job.people_hours for job in shop.promised)


def _within(found: T | None, problem: Problem) -> T:
    if found is None:
        raise Refused(problem)
    return found


def _ready(days: Days, made: int, curing_days: int, site_days: int) -> int | None:
    """The number of the working day on which a panel made on day `made` is cured and hung, if there is
    one."""
    if not days.reach(made):
        return None
    cured = days.on_or_after(days.dates[made] + timedelta(days=curing_days))
    if cured is None or site_days <= 0:
        return cured
    hung = max(cured, made + 1) + site_days - 1
    return hung if days.reach(hung) else None


def _site_days(minutes: NDArray[np.float64], work: Work) -> list[int]:
    days: list[int] = np.ceil(minutes / work.minutes_a_day - NOISE_MINUTES).astype(int).tolist()
    return days


def _held(work: Work, days: Days, shop: ShopState, job: ToMake, failures_per_hour: float) -> int | None:
    """The number of the working day on or before which 8 of 10 seeded courses are ready, if there is one."""
    factors = labour_factors(shop.labour_spread, 3)
    fails = failures(failures_per_hour, [minutes for minutes, _ in slots_of(work)])
    before = _promised(shop) + job.before * factors[:, 0]
    made = Courses(work, days, before, job.after * factors[:, 1], fails).go().tolist()
    pairs = list(zip(made, _site_days(job.site * factors[:, 2], work), strict=True))
    ready = {pair: _ready(days, pair[0], shop.curing_days, pair[1]) for pair in set(pairs)}
    ends = [ready[pair] for pair in pairs]
    in_order = sorted(end for end in ends if end is not None)
    enough = ceil(HOLDS_IN * len(ends))
    return in_order[enough - 1] if enough <= len(in_order) else None


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
