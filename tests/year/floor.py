"""What really happens in the workshop, minute by minute: printers that fail, labour that takes longer, people
who are away. It shares no code with what promises a day: the two are compared."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta
from itertools import pairwise
from math import exp
from random import Random

import holidays

__all__ = ["Floor", "Job", "Plate", "Run", "is_worked", "next_worked"]

OPENS, CLOSES = 9 * 60, 17 * 60 + 30
A_DAY = 24 * 60
HOLIDAYS = holidays.country_holidays("GB", "ENG")

Take = Callable[[str, float], bool]
"""Takes grams of a filament off the shelf, if they are there."""


def is_worked(day: date) -> bool:
    return day.isoweekday() <= 5 and day not in HOLIDAYS


def next_worked(day: date) -> date:
    """The day itself, if it is worked."""
    while not is_worked(day):
        day += timedelta(days=1)
    return day


@dataclass(frozen=True, slots=True)
class Plate:
    printer: str
    filament: str
    minutes: float
    mass_g: float


@dataclass
class Job:
    """What is sold, in the order in which it was. `before` and `after` are minutes of labour as they really
    come; nothing is done after printing before what is bought `comes`."""

    name: str
    order: int
    plates: list[Plate]
    before: float
    after: float
    comes: date
    running: int = 0
    made_on: date | None = None

    def __post_init__(self) -> None:
        self.whole = {"before": self.before, "after": self.after}

    def left(self, stage: str) -> float:
        """Which share of a stage of labour, "before" or "after", is to be done yet."""
        now = {"before": self.before, "after": self.after}[stage]
        return max(0.0, now) / self.whole[stage] if self.whole[stage] else 0.0


@dataclass
class Unit:
    printer: str
    number: int
    until: float = 0.0
    on: tuple[Job, Plate, bool] | None = None


@dataclass(frozen=True, slots=True)
class Run:
    """In minutes since the first day there is; it begins with the swap."""

    printer: str
    number: int
    plate: Plate
    begins: float
    ends: float
    failed: bool


@dataclass
class Floor:
    """`printers` of each kind; one person swaps plates, in `swap_minutes` each."""

    luck: Random
    printers: Mapping[str, int]
    failures_per_hour: float
    swap_minutes: float
    jobs: list[Job] = field(default_factory=list)
    runs: list[Run] = field(default_factory=list)
    worked: dict[date, tuple[float, float]] = field(default_factory=dict)
    """Minutes that people worked on a day, of those that they had."""

    def __post_init__(self) -> None:
        kinds = self.printers.items()
        self.units = [Unit(name, n + 1) for name, count in kinds for n in range(count)]

    def stretched(self, minutes: float, spread: float) -> float:
        """What so much labour takes in truth: log-normal, of the mean that was planned."""
        return minutes * self.luck.lognormvariate(-(spread**2) / 2, spread)

    def work(self, day: date, hours: float, out: Mapping[str, int], take: Take, away: float = 0.0) -> float:
        """A day with so many hours of people, some printers `out` of service; `away` minutes of the people's
        time go to work on site, as far as it reaches, which is returned."""
        had = 60 * hours
        gone = min(away, had)
        self.left, hand_free = had - gone, 0.0
        rate = had / (CLOSES - OPENS)
        self.jobs.sort(key=lambda job: job.order)
        for minute in range(OPENS, CLOSES + 1):
            now = day.toordinal() * A_DAY + float(minute)
            self._take_off(now)
            if now >= hand_free and self._swap(day, now, out, take):
                hand_free = now + self.swap_minutes
            if now >= hand_free and minute < CLOSES:
                self._labour(day, rate)
        self.worked[day] = (had - self.left, had)
        return gone

    def _take_off(self, now: float) -> None:
        """What is over is done, or waits again."""
        for unit in self.units:
            if unit.on and unit.until <= now:
                job, plate, failed = unit.on
                unit.on, job.running = None, job.running - 1
                if failed:
                    job.plates.append(plate)

    def _swap(self, day: date, now: float, out: Mapping[str, int], take: Take) -> bool:
        """Put a plate on the first printer for which one waits; it must be on by closing."""
        closing = day.toordinal() * A_DAY + CLOSES
        if self.left < self.swap_minutes or now + self.swap_minutes > closing:
            return False
        for unit in sorted(self.units, key=lambda unit: unit.until):
            serves = unit.number <= self.printers[unit.printer] - out.get(unit.printer, 0)
            if unit.on or not serves:
                continue
            for job in self.jobs:
                starts = now + self.swap_minutes
                if plate := self._chosen(job, unit.printer, closing - starts, take):
                    self._put_on(unit, job, plate, now, starts)
                    return True
        return False

    def _chosen(self, job: Job, printer: str, room: float, take: Take) -> Plate | None:
        """By day the longest plate that is done by closing, else the longest; of which filament is there."""
        if job.before > 0:
            return None
        here = sorted(
            (each for each in job.plates if each.printer == printer), key=lambda each: -each.minutes
        )
        for plate in [each for each in here if each.minutes <= room] + here:
            if take(plate.filament, plate.mass_g):
                return plate
        return None

    def _put_on(self, unit: Unit, job: Job, plate: Plate, now: float, starts: float) -> None:
        job.plates.remove(plate)
        job.running += 1
        self.left -= self.swap_minutes
        failed = self.luck.random() < 1 - exp(-self.failures_per_hour * plate.minutes / 60)
        unit.on, unit.until = (job, plate, failed), starts + plate.minutes
        self.runs.append(Run(unit.printer, unit.number, plate, now, unit.until, failed))

    def _labour(self, day: date, minutes: float) -> None:
        """The first job that needs it gets what of a minute is labour."""
        minutes = min(minutes, self.left)
        for job in self.jobs:
            if minutes <= 0:
                return
            stage = _needs(job, day)
            if stage:
                done = min(minutes, getattr(job, stage))
                setattr(job, stage, getattr(job, stage) - done)
                minutes, self.left = minutes - done, self.left - done
            if stage == "after" and job.after <= 1e-9:
                job.made_on = day
        self.jobs = [job for job in self.jobs if job.made_on is None]

    def overlaps(self) -> Iterable[tuple[Run, Run]]:
        """Runs that a printer would have had at once."""
        by_unit: dict[tuple[str, int], list[Run]] = {}
        for run in self.runs:
            by_unit.setdefault((run.printer, run.number), []).append(run)
        for runs in by_unit.values():
            runs.sort(key=lambda run: run.begins)
            yield from (pair for pair in pairwise(runs) if pair[1].begins < pair[0].ends)


def _needs(job: Job, day: date) -> str:
    if job.before > 0:
        return "before"
    printed = not job.plates and not job.running
    return "after" if printed and job.after > 0 and job.comes <= day else ""
