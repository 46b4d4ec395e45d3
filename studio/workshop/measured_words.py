"""What the studio's own plates say of the plates to come, in words. Pure."""

from collections.abc import Sequence
from dataclasses import replace
from math import sqrt

from studio.making.equipment import STANDARD
from studio.making.measured import Factors, Hazard, Measured, Slope, experience_of
from studio.making.plan import MakingPlan
from studio.pricing.rate_book import RateBook
from studio.workshop.house_style import HouseStyle

__all__ = ["all_hazard", "enough", "factor_words", "kind_words", "printing_spread", "relative_spread"]

ENOUGH_HOURS = 100
"""Of printing, failed runs included, before failures counted in them can be a rate: our own judgement, no
source."""


def kind_words(printer: str, recipe: str) -> str:
    return f"{printer}, standard recipe" if recipe == STANDARD else f"{printer}, recipe for {recipe}"


def factor_words(factors: Factors, measured: Sequence[Measured], style: HouseStyle) -> tuple[str, ...]:
    """What minutes and grams of an option were multiplied by, for each printer and recipe that it uses:
    "minutes × 1.08, grams × 0.97 on Small bed, standard recipe (5 plates measured)"."""
    said = []
    for (printer, recipe), factor in sorted(factors.items()):
        plates = sum((m.printer, m.recipe, m.failed) == (printer, recipe, False) for m in measured)
        times = f"minutes × {style.number(factor.minutes, 2)}, grams × {style.number(factor.grams, 2)}"
        said.append(f"{times} on {kind_words(printer, recipe)} ({plates} plates measured)")
    return tuple(said)


def relative_spread(slope: Slope) -> float:
    """Standard deviation of measured over expected, with n - 1 degrees of freedom as the slope has."""
    squares = sum((ratio / slope.factor - 1) ** 2 for ratio in slope.ratios)
    return sqrt(squares / (len(slope.ratios) - 1))


def printing_spread(plan: MakingPlan, book: RateBook, unmeasured: float) -> tuple[float, float]:
    """The relative spread of print minutes on the printers that a plan uses, each by its share of them, with
    `unmeasured` where printer and recipe have no factors yet; and the share of minutes that have them."""
    slopes = {(each.printer, each.recipe): each.minutes for each in experience_of(book.measured)}
    printers = {printer.name: printer for printer in book.printers}
    filaments = {filament.name: filament for filament in book.filaments}
    spread = known = 0.0
    for plate in plan.plates:
        recipe, _ = printers[plate.printer].recipe_for(filaments[plate.filament])
        slope, share = slopes.get((plate.printer, recipe)), plate.minutes / plan.print_minutes
        spread += share * (relative_spread(slope) if slope else unmeasured)
        known += share if slope else 0
    return spread, known


def all_hazard(measured: Sequence[Measured]) -> Hazard | None:
    """Failures per hour over all printers, as if one had run every plate: the rate book has one rate for all.
    None before any plate."""
    together = [replace(plate, printer="all", recipe=STANDARD) for plate in measured]
    return next((each.hazard for each in experience_of(together)), None)


def enough(hazard: Hazard | None) -> bool:
    """With no failure yet the rate would be nothing, which is luck."""
    return hazard is not None and hazard.hours >= ENOUGH_HOURS and hazard.failures > 0
