"""Ways to cut a job into plates, and how soon each of them is made."""

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import replace
from datetime import date

from studio.lattice.part import Part
from studio.making.chances import expected_failures
from studio.making.course import Course
from studio.making.days import Days
from studio.making.equipment import Filament, Printer
from studio.making.measured import Factors
from studio.making.plate import Plate
from studio.making.plates import Job, TooMany
from studio.making.shop import ShopState
from studio.making.wanted import wanted_minutes
from studio.making.work import work_of
from studio.making.working_days import WorkingDays

__all__ = ["cuts_of", "days_to_make"]

MONDAY = date(2001, 1, 1)
"""Any Monday would do: no holidays are kept and no clocks change."""


def cuts_of(
    parts: Sequence[Part],
    printers: Sequence[Printer],
    filaments: Sequence[Filament],
    factors: Factors,
    shop: ShopState,
) -> tuple[tuple[Plate, ...], ...]:
    """Plates evened out (those of plates_for), full ones, and short ones for the day with long ones for the
    night, unless these are too many; the same cut only once. Raises Refused as plates_for and
    wanted_minutes."""
    job = Job(parts, printers, filaments, factors)
    full = job.full()
    longest: dict[str, float] = {}
    for plate in full:
        longest[plate.printer] = max(longest.get(plate.printer, 0.0), plate.minutes)
    cuts, wanted = [job.evened(), full], wanted_minutes(shop, printers, longest)
    with suppress(TooMany):
        cuts.append(job.by_hours(wanted))
    return tuple(dict.fromkeys(cuts))


def days_to_make(
    plates: Sequence[Plate],
    labour_minutes_before: float,
    labour_minutes_after: float,
    shop: ShopState,
    printers: Sequence[Printer],
    failures_per_hour: float,
) -> float:
    """Working days until these plates are printed and the labour after them is done, as expected, in a
    workshop that has promised nothing and keeps no holidays; infinite beyond five years.

    Of the workshop only its hours, its weekdays and its swaps count. They belong to the studio as its
    printers do, so plates may follow them, and the price may follow the plates: stock, promised jobs and the
    day of asking must not matter to it.
    """
    hours = replace(shop, promised=(), time_zone="UTC")
    calendar = WorkingDays(frozenset(shop.working_days), frozenset(), None, None)
    days = Days(calendar, calendar.first(MONDAY), hours)
    failures = expected_failures(failures_per_hour, [plate.minutes for plate in plates])
    course = Course(work_of(plates, hours, printers), days, failures)
    done = course.go(labour_minutes_before, labour_minutes_after)
    return float("inf") if done is None else float(done[1])
