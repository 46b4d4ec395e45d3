"""The state of the workshop: stock, people's hours and what is promised. Feeds dates and buying, never the
price."""

from datetime import date
from decimal import Decimal
from typing import Annotated

from pydantic import Field

from studio.document import document

__all__ = ["Promise", "ShopState", "Stock"]

Name = Annotated[str, Field(min_length=1, max_length=80)]


@document
class Stock:
    filament: Name
    shelf_g: Annotated[float, Field(ge=0, le=10**7)] = 0
    promised_g: Annotated[float, Field(ge=0, le=10**7)] = 0


@document
class Promise:
    """Another job that is already sold: its hours come out of the same printers and people before ours
    begin."""

    text: Annotated[str, Field(max_length=200)] = ""
    printer: Name
    printer_hours: Annotated[float, Field(ge=0, le=10**5)] = 0
    people_hours: Annotated[float, Field(ge=0, le=10**5)] = 0


@document
class ShopState:
    """`working_days` are ISO weekdays (1 Monday). Somebody is there from `attended_from_hour` to
    `attended_to_hour` (clock hours, may be fractions): plates are swapped only then. `people_hours_per_day`
    is what all people together give to making on a working day. `country` and `subdivision` name the public
    holidays (ISO 3166), `time_zone` the clock (IANA name).

    `labour_spread` is the spread (sigma of the logarithm) of what labour really takes over what was planned.
    Its default is an example: at 0.25, 8 of 10 jobs take at most 1.2 times the hours planned."""

    stock: tuple[Stock, ...] = ()
    promised: tuple[Promise, ...] = ()
    working_days: Annotated[
        tuple[Annotated[int, Field(ge=1, le=7)], ...], Field(min_length=1, max_length=7)
    ] = (1, 2, 3, 4, 5)
    attended_from_hour: Annotated[float, Field(ge=0, le=24)] = 9
    attended_to_hour: Annotated[float, Field(ge=0, le=24)] = 17.5
    people_hours_per_day: Annotated[float, Field(gt=0, le=200)] = 7
    swap_minutes: Annotated[float, Field(ge=0, le=240)] = 10
    curing_days: Annotated[int, Field(ge=0, le=60)] = 1
    deposit_days: Annotated[int, Field(ge=0, le=120)] = 3
    days_off: tuple[date, ...] = ()
    country: Annotated[str, Field(pattern=r"^[A-Z]{2}$")] = "GB"
    subdivision: Annotated[str, Field(max_length=6)] | None = "ENG"
    time_zone: Annotated[str, Field(min_length=1, max_length=64)] = "Europe/London"
    labour_spread: Annotated[float, Field(ge=0, le=1.5)] = 0.25


def stock_of(shop: ShopState, filament: str) -> Decimal:
    """Grams on the shelf that nobody is promised; never below zero."""
    free = sum(row.shelf_g - row.promised_g for row in shop.stock if row.filament == filament)
    return max(Decimal(0), Decimal(str(round(free, 2))))
