"""What waits for the printers of a workshop, and what its people give."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from math import ceil

from studio.making.equipment import Printer
from studio.making.plate import Plate
from studio.making.shop import OutOfService, ShopState, out_on
from studio.problem import Problem
from studio.voice import number, said

__all__ = ["NOISE_MINUTES", "PrinterWork", "Work", "hours_problems", "work_of"]

NOISE_MINUTES = 1e-6
LEAST_HOURS = 0.1
"""People’s hours a day below which nothing is ever ready."""


@dataclass(frozen=True, slots=True)
class PrinterWork:
    """What waits for one kind of printer, of which there are `count`, less those `out` of service: promised
    hours as `promised` runs of `longest_minutes`, the last of `rest_minutes`; then `plates` as (minutes,
    number in the plan), the longest first."""

    printer: str
    count: int
    promised: int
    longest_minutes: float
    rest_minutes: float
    plates: tuple[tuple[float, int], ...]
    out: tuple[OutOfService, ...] = ()

    def serving(self, day: date) -> int:
        """How many are in service on a day: those of the lowest numbers."""
        return max(0, self.count - out_on(self.out, self.printer, day))


@dataclass(frozen=True, slots=True)
class Work:
    """`hands` people can swap plates at once; all people give `minutes_a_day`, and the rest of a day's labour
    goes on at `rate` minutes a minute while somebody is there. Plates wait for the day on which their
    filament `comes`, by number in the plan; the labour after printing is not begun before `after_from`."""

    kinds: tuple[PrinterWork, ...]
    hands: int
    swap_minutes: float
    minutes_a_day: float
    rate: float
    comes: Mapping[int, date] = field(default_factory=dict)
    after_from: date = date.min

    @property
    def ever_out(self) -> bool:
        return any(kind.out for kind in self.kinds)


def hours_problems(shop: ShopState) -> Iterator[Problem]:
    """The problem of hours in which nothing can be made, if they are such."""
    attended = 60 * (shop.attended_to_hour - shop.attended_from_hour)
    if attended < 1:
        hours = number(shop.attended_from_hour), number(shop.attended_to_hour)
        reason = said("nobody is ever there: attended from {} to {} o’clock", *hours)
        yield Problem("shop_state.attended_to_hour", reason, "an hour later than attended_from_hour")
    elif shop.people_hours_per_day < LEAST_HOURS:
        reason = said("people give {} hours a day to making", number(shop.people_hours_per_day))
        yield Problem("shop_state.people_hours_per_day", reason, said("at least {}", number(LEAST_HOURS)))
    elif min(attended, 60 * shop.people_hours_per_day) < shop.swap_minutes:
        reason = said(
            "swapping a plate takes {} minutes, more than a day’s people have", number(shop.swap_minutes)
        )
        yield Problem(
            "shop_state.swap_minutes", reason, "a shorter swap, or more attended and people’s hours a day"
        )


def work_of(
    plates: Sequence[Plate],
    shop: ShopState,
    printers: Sequence[Printer],
    filaments_come: Mapping[str, date] | None = None,
    after_from: date = date.min,
) -> Work:
    """`filaments_come` gives the days on which those come that have to be bought."""
    minutes_a_day = 60 * shop.people_hours_per_day
    rate = minutes_a_day / (60 * (shop.attended_to_hour - shop.attended_from_hour))
    units = sum(printer.count for printer in printers)
    hands = min(ceil(rate - NOISE_MINUTES), units)  # one printer never needs two
    kinds = tuple(_kind(printer, plates, shop) for printer in printers)
    come = filaments_come or {}
    comes = {n: come[plate.filament] for n, plate in enumerate(plates) if plate.filament in come}
    return Work(kinds, hands, shop.swap_minutes, minutes_a_day, rate, comes, after_from)


def _kind(printer: Printer, plates: Sequence[Plate], shop: ShopState) -> PrinterWork:
    longest = float(printer.longest_run_minutes)
    promised = 60.0 * sum(job.printer_hours for job in shop.promised if job.printer == printer.name)
    runs = max(0, ceil(promised / longest - NOISE_MINUTES))
    own = ((plate.minutes, -number) for number, plate in enumerate(plates) if plate.printer == printer.name)
    longest_first = tuple((minutes, -number) for minutes, number in sorted(own, reverse=True))
    rest = promised - longest * max(0, runs - 1)
    out = tuple(each for each in shop.out_of_service if each.printer == printer.name)
    return PrinterWork(printer.name, printer.count, runs, longest, rest, longest_first, out)
