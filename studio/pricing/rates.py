"""Rates derived from what the studio enters, and where each comes from."""

from decimal import ROUND_HALF_UP, Decimal

from studio.making.equipment import Filament, Printer
from studio.pricing.quantities import hundredths
from studio.pricing.rate_book import RateBook
from studio.pricing.sheet import Input
from studio.problem import Problem, Refused

__all__ = [
    "FOUR_PLACES", "hours", "machine_hour", "origin", "per_kilogram", "plain", "rate_input", "spool_price",
    "to_places", "unpriced",
]  # fmt: skip

FOUR_PLACES = Decimal("0.0001")


def machine_hour(printer: Printer) -> Decimal:
    """Cost of an hour of printing but for energy, which is counted by phase (heating up, printing) and has a
    line of its own: straight-line wear (purchase less scrap value over life hours) and upkeep."""
    return (printer.purchase - printer.scrap_value) / printer.life_hours + printer.upkeep_per_hour


def spool_price(filament: Filament) -> Decimal:
    """What a spool costs. Raises Refused while no price is set."""
    if filament.price_per_spool is None:
        raise Refused(unpriced(filament))
    return filament.price_per_spool


def unpriced(filament: Filament) -> Problem:
    return Problem(
        f"rate_book.filaments.{filament.name}.price_per_spool",
        f"the panel uses {filament.name}, which has no price yet",
        "set what a spool costs",
    )


def per_kilogram(filament: Filament) -> Decimal:
    """Price of 1000 g."""
    return spool_price(filament) * 1000 / hundredths(filament.spool_g)


def hours(minutes: Decimal) -> Decimal:
    """Minutes as hours with four decimals (a third of a second)."""
    return (minutes / 60).quantize(FOUR_PLACES, ROUND_HALF_UP)


def origin(book: RateBook, key: str) -> str:
    """Where the rate at `key` comes from. Keys are a field of the rate book ("overhead_per_hour"), a field
    and a name or code ("filaments.Tea", "printers.Small bed", "roles.maker", "operations.place-infill",
    "bought.glue"), or "price" for everything that turns cost into price."""
    day = book.set_on.get(key)
    return f"your rate of {day.isoformat()}" if day else "example rate"


def rate_input(book: RateBook, key: str, name: str, value: Decimal, unit: str) -> Input:
    return Input(name, f"{plain(value)} {unit}".strip(), origin(book, key))


def to_places(formula: str, places: int = 4) -> str:
    """A part of a formula that is rounded, halves up, before it is worked on."""
    return f"({formula}, to {places} decimals)"


def plain(value: Decimal) -> str:
    """Without exponent and trailing zeros: 1200, 0.5."""
    return f"{value.normalize():f}"
