"""Plates of the studio's options with what was computed for them, to be measured against."""

from dataclasses import dataclass

from studio.commissions.estimating import brief_of, in_currency
from studio.commissions.models import Option
from studio.estimate.priced import price_up
from studio.making.measured import AS_COMPUTED
from studio.workshop.books import book_of
from studio.workshop.clock import today
from studio.workshop.shop import current_shop

__all__ = ["ComputedPlate", "option_called", "options_to_measure", "plates_of"]

LISTED = 60
"""Options of the newest commissions."""


@dataclass(frozen=True)
class ComputedPlate:
    """Equal plates of an option: minutes and grams before any factor of earlier measurements."""

    printer: str
    recipe: str
    filament: str
    pieces: int
    minutes: float
    mass_g: float


def options_to_measure() -> list[Option]:
    """Options that have a price, so plates, the newest commissions first."""
    priced = Option.objects.filter(gross_minor__isnull=False).select_related("commission")
    return list(priced.order_by("-commission_id", "letter")[:LISTED])


def option_called(key: str) -> Option | None:
    """The option with this key of the page's list, in the texts that people may put into an address."""
    if not (key.isdecimal() and len(key) < 10):
        return None
    return Option.objects.select_related("commission__space", "rate_book").filter(pk=int(key)).first()


def plates_of(option: Option) -> dict[ComputedPlate, int]:
    """How many of each plate the option has, at the rates and the factors that are its own. Raises Refused
    where it cannot be made."""
    book = book_of(option.rate_book)
    plan = price_up(in_currency(brief_of(option), book), book, current_shop(today())).plan
    printers = {printer.name: printer for printer in book.printers}
    filaments = {filament.name: filament for filament in book.filaments}
    found: dict[ComputedPlate, int] = {}
    for plate in plan.plates:
        recipe, _ = printers[plate.printer].recipe_for(filaments[plate.filament])
        factor = plan.factors.get((plate.printer, recipe), AS_COMPUTED)
        minutes, mass_g = round(plate.minutes / factor.minutes, 1), round(plate.mass_g / factor.grams, 1)
        computed = ComputedPlate(plate.printer, recipe, plate.filament, plate.pieces, minutes, mass_g)
        found[computed] = found.get(computed, 0) + 1
    return found
