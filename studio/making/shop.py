"""The state of the workshop: stock, people's hours and what is promised. Feeds dates and buying, never the
price."""

from collections.abc import Iterable
from datetime import date
from decimal import Decimal
from typing import Annotated

from pydantic import Field

from studio.document import document

__all__ = [
    "Calendar",
    "Hours",
    "OutOfService",
    "Promise",
    "ShopState",
    "Stock",
    "at_hours",
    "calendar_of",
    "hours_of",
    "out_on",
    "stock_of",
]

Name = Annotated[str, Field(min_length=1, max_length=80)]


WEEKDAYS = (1, 2, 3, 4, 5)
Weekdays = Annotated[tuple[Annotated[int, Field(ge=1, le=7)], ...], Field(min_length=1, max_length=7)]
Hour = Annotated[float, Field(ge=0, le=24)]
PeopleHours = Annotated[float, Field(gt=0, le=200)]
Minutes = Annotated[float, Field(ge=0, le=240)]


@document
class Hours:
    """The hours of a workshop that its plates follow, as in ShopState. Plates are priced, so a rate book
    keeps the hours under which its options were made."""

    working_days: Weekdays = WEEKDAYS
    attended_from_hour: Hour = 9
    attended_to_hour: Hour = 17.5
    people_hours_per_day: PeopleHours = 7
    swap_minutes: Minutes = 10


@document
class Stock:
    filament: Name
    shelf_g: Annotated[float, Field(ge=0, le=10**7)] = 0
    promised_g: Annotated[float, Field(ge=0, le=10**7)] = 0


@document
class Promise:
    """Jobs that are already sold: their hours come out of the same printers and people before ours begin.
    People's hours are all of theirs, the swaps of their plates included. Without printing, no printer is
    named. Those `under_way` go on from the day after that of asking: what is done of them until ours begin is
    in nobody's way."""

    text: Annotated[str, Field(max_length=200)] = ""
    printer: Annotated[str, Field(max_length=80)] = ""
    printer_hours: Annotated[float, Field(ge=0, le=10**5)] = 0
    people_hours: Annotated[float, Field(ge=0, le=10**5)] = 0
    under_way: bool = False


@document
class OutOfService:
    """`count` printers of a kind on which no plate is put from one day to another, both included. What runs
    on them when the first day begins is let end."""

    printer: Annotated[str, Field(max_length=80)] = ""
    count: Annotated[int, Field(ge=1, le=100)] = 1
    from_day: date
    to_day: date
    why: Annotated[str, Field(max_length=200)] = ""


def out_on(rows: Iterable[OutOfService], printer: str, day: date) -> int:
    """How many printers of a kind are out of service on a day."""
    return sum(row.count for row in rows if row.printer == printer and row.from_day <= day <= row.to_day)


@document
class Calendar:
    """When a workshop works. `working_days` are ISO weekdays (1 Monday). Somebody is there from
    `attended_from_hour` to `attended_to_hour` (clock hours, may be fractions): plates are swapped only then.
    `people_hours_per_day` is what all people together give to making on a working day. `country` and
    `subdivision` name the public holidays (ISO 3166), `time_zone` the clock (IANA name).

    A job begins once its deposit has cleared and its colours are approved: on the first working day that is
    `deposit_days` and `sample_days` (samples are printed and posted first) after the day of asking, whichever
    is later. A promised day holds in `promise_holds_percent` of the seeded courses of making.

    `labour_spread` is the spread (sigma of the logarithm) of what labour really takes over what was planned.
    Its default is an example: at 0.25, 9 of 10 jobs take at most 1.3 times the hours planned."""

    working_days: Weekdays = WEEKDAYS
    attended_from_hour: Hour = 9
    attended_to_hour: Hour = 17.5
    people_hours_per_day: PeopleHours = 7
    swap_minutes: Minutes = 10
    curing_days: Annotated[int, Field(ge=0, le=60)] = 1
    deposit_days: Annotated[int, Field(ge=0, le=120)] = 3
    sample_days: Annotated[int, Field(ge=0, le=120)] = 10
    promise_holds_percent: Annotated[int, Field(ge=50, le=99)] = 90
    days_off: tuple[date, ...] = ()
    country: Annotated[str, Field(pattern=r"^[A-Z]{2}$")] = "GB"
    subdivision: Annotated[str, Field(max_length=6)] | None = "ENG"
    time_zone: Annotated[str, Field(min_length=1, max_length=64)] = "Europe/London"
    labour_spread: Annotated[float, Field(ge=0, le=1.5)] = 0.25
    out_of_service: Annotated[tuple[OutOfService, ...], Field(max_length=200)] = ()

    @property
    def start_days(self) -> int:
        """Calendar days from the day of asking until a job can begin."""
        return max(self.deposit_days, self.sample_days)


@document
class ShopState(Calendar):
    """The calendar with what is on the shelf, what is promised, and the days on which the van is out."""

    stock: tuple[Stock, ...] = ()
    promised: tuple[Promise, ...] = ()
    van_out: tuple[date, ...] = ()


def calendar_of(shop: ShopState) -> Calendar:
    return Calendar(**{name: getattr(shop, name) for name in Calendar.__dataclass_fields__})


def hours_of(calendar: Calendar) -> Hours:
    return Hours(**{name: getattr(calendar, name) for name in Hours.__dataclass_fields__})


def at_hours(hours: Hours) -> ShopState:
    """A workshop of these hours with an empty shelf, nothing promised and no holidays of its own."""
    return ShopState(**{name: getattr(hours, name) for name in Hours.__dataclass_fields__})


def stock_of(shop: ShopState, filament: str) -> Decimal:
    """Grams on the shelf that nobody is promised; never below zero."""
    free = sum(row.shelf_g - row.promised_g for row in shop.stock if row.filament == filament)
    return max(Decimal(0), Decimal(str(round(free, 2))))
