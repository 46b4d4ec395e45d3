"""Which lengths of plates the calendar asks for: short ones for the day, long ones for the night."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import ceil

from studio.making.equipment import Printer
from studio.making.shop import ShopState
from studio.making.work import hours_problems, work_of
from studio.problem import refuse_all

__all__ = ["Wanted", "wanted_minutes"]

DAY_MINUTES = 24 * 60


@dataclass(frozen=True, slots=True)
class Wanted:
    """What plates of one kind of printer should take at most: `day_plates` of `day_minutes` for each one of
    `night_minutes`."""

    day_minutes: float
    night_minutes: float
    day_plates: int

    def limit_minutes(self, number: int) -> float:
        """For plate `number` (from 0) of this kind: a printer's day, then its night, and so on."""
        by_day = number % (self.day_plates + 1) < self.day_plates
        return self.day_minutes if by_day else self.night_minutes


def wanted_minutes(
    shop: ShopState, printers: Sequence[Printer], full_minutes: Mapping[str, float] | None = None
) -> dict[str, Wanted]:
    """By printer name, lengths that let every printer be swapped within each day and again at closing.

    From opening to closing a printer waits its turn of `turns` swaps (all printers share the people), prints
    its day plates and gets its night plate at closing; that one is over when its turn comes in the morning.
    There are as few day plates as are no longer than the printer's longest run, or than a full bed takes
    (`full_minutes`). Where people's hours do not suffice for that many swaps there are fewer, down to none.

    Only attended hours, people's hours and the minutes of a swap count, not what is promised: a job is cut in
    the same way however busy the workshop is. Raises Refused for hours in which nothing can be made.
    """
    refuse_all(hours_problems(shop))
    work = work_of((), shop, printers)
    units = sum(printer.count for printer in printers)
    turns = ceil(units / work.hands)
    attended = 60 * (shop.attended_to_hour - shop.attended_from_hour)
    day = attended - turns * shop.swap_minutes
    night = DAY_MINUTES - day - shop.swap_minutes
    most = int(work.minutes_a_day / (units * shop.swap_minutes)) - 1 if shop.swap_minutes else DAY_MINUTES
    full = full_minutes or {}

    def wanted(printer: Printer) -> Wanted:
        longest = min(printer.longest_run_minutes, full.get(printer.name, DAY_MINUTES))
        plates = min(ceil(day / (longest + shop.swap_minutes)), most)
        if plates < 1:
            return Wanted(longest, longest, 0)
        by_day, by_night = min(day / plates - shop.swap_minutes, longest), min(night, longest)
        if by_night <= attended - shop.swap_minutes:  # it would go on in the morning and take the day's room
            by_night = by_day
        return Wanted(by_day, by_night, plates)

    return {printer.name: wanted(printer) for printer in printers}
