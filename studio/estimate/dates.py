"""When something can be ready: what is offered, and what was frozen, as of another day."""

from collections.abc import Iterator, Mapping, Sequence, Set
from datetime import date
from decimal import Decimal
from typing import Any

from studio.estimate.priced import Priced
from studio.making.calendar import Dates, schedule
from studio.making.changes import with_changes
from studio.making.plate import Plate
from studio.making.shop import ShopState, stock_of
from studio.making.to_make import ToMake, Wait
from studio.pricing.carrier import days_on_the_road
from studio.pricing.labour import STAGES, stage_minutes
from studio.pricing.rate_book import RateBook
from studio.problem import Problem, Refused
from studio.voice import said

__all__ = ["dates_of", "frozen_dates"]


def dates_of(priced: Priced, book: RateBook, shop: ShopState, as_of: date) -> Dates:
    """When what is offered can be ready. Raises Refused as `schedule`."""
    grams = {use.filament: use.mass_g for use in priced.plan.filaments}
    codes = {line.code for line in priced.sheet.lines if line.group == "bought-in"}
    waits = tuple(_waits(grams, codes, book, shop))
    road_days = days_on_the_road(priced.quantities.parcels, book)
    job = _to_make(priced.plan.plates, stage_minutes(priced.quantities, book), waits, book, road_days)
    return schedule(job, shop, as_of, book.printers, book.failures_per_hour)


def frozen_dates(making: Mapping[str, Any], book: RateBook, shop: ShopState, as_of: date) -> Dates:
    """When one option's frozen `making` can be ready as of a day: its plates on the printers of `book`, the
    newest, in a workshop in which its own jobs are not promised. Raises Refused as `schedule`, and with
    `making.plates` for each printer that the studio has no more."""
    plates, here = [_plate(row) for row in making["plates"]], {printer.name for printer in book.printers}
    if gone := sorted({plate.printer for plate in plates} - here):
        remedy = said("one of {}, or another making", ", ".join(sorted(here)))
        raise Refused(*(Problem("making.plates", _gone(name), remedy) for name in gone))
    minutes = dict.fromkeys(STAGES, Decimal(0))
    for row in making["labour"]:
        minutes[row["stage"]] += Decimal(row["minutes"])
    grams = {row["filament"]: row["mass_g"] for row in making["filaments"]}
    waits = tuple(_waits(grams, {row["code"] for row in making["bought"]}, book, shop))
    job = _to_make(plates, minutes, waits, book, making.get("road_days", 0))
    return schedule(job, shop, as_of, book.printers, book.failures_per_hour)


def _waits(grams: Mapping[str, float], codes: Set[str], book: RateBook, shop: ShopState) -> Iterator[Wait]:
    """What has to be bought, of filaments those of which less is free than the whole job takes."""
    for filament in book.filaments:
        short = float(stock_of(shop, filament.name)) < grams.get(filament.name, 0)
        if short and filament.lead_days:
            yield Wait(filament.name, filament.lead_days, "printing")
    for thing in book.bought:
        if thing.lead_days and f"bought.{thing.code}" in codes:
            on_site = thing.group in ("delivery", "hanging")
            yield Wait(thing.text, thing.lead_days, "site" if on_site else "making")
    if book.lighting.lead_days and any(code.startswith("lighting.") for code in codes):
        yield Wait("Light parts", book.lighting.lead_days, "making")


def _to_make(
    plates: Sequence[Plate],
    minutes: Mapping[str, Decimal],
    waits: Sequence[Wait],
    book: RateBook,
    road_days: int,
) -> ToMake:
    """Swaps are work by the plate, which the calendar counts itself; another filament is put on while the
    printer waits."""
    after, on = minutes["making"] + minutes["after"], with_changes(plates, book.printers)
    return ToMake(on, float(minutes["before"]), float(after), float(minutes["site"]), waits, road_days)


def _plate(row: Mapping[str, Any]) -> Plate:
    names = ("printer", "filament", "pieces", "minutes", "mass_g", "bed_share")
    return Plate(parts=(), **{name: row[name] for name in names})


def _gone(printer: str) -> str:
    return said("its plates were made for “{}”, and the studio has no such printer now", printer)
