"""How far real making strays from what was computed: what ranges of the margin are drawn from."""

from math import sqrt

from studio.making.chances import expected_extra_runs
from studio.making.measured import Experience, Measured, Slope, experience_of
from studio.making.plan import MakingPlan
from studio.making.shop import ShopState
from studio.memo import memo
from studio.pricing.ranges import Spreads
from studio.pricing.rate_book import RateBook

__all__ = ["PRINTING_SPREAD", "printing_spread", "relative_spread", "spreads_of"]

PRINTING_SPREAD = 0.1
"""How far real print minutes stray from computed ones (sigma of the logarithm) until a studio measures its
own plates: our own judgement, no source."""


def spreads_of(plan: MakingPlan, book: RateBook, shop: ShopState) -> Spreads:
    runs = sum(expected_extra_runs(book.failures_per_hour, plate.minutes / 60) for plate in plan.plates)
    return Spreads(printing_spread(plan, book)[0], shop.labour_spread, runs)


def printing_spread(
    plan: MakingPlan, book: RateBook, unmeasured: float = PRINTING_SPREAD
) -> tuple[float, float]:
    """The relative spread of print minutes on the printers that a plan uses, each by its share of them, with
    `unmeasured` where printer and recipe have no factors yet; and the share of minutes that have them."""
    slopes = {(each.printer, each.recipe): each.minutes for each in _experience(book.measured)}
    printers = {printer.name: printer for printer in book.printers}
    filaments = {filament.name: filament for filament in book.filaments}
    spread = known = 0.0
    for plate in plan.plates:
        recipe, _ = printers[plate.printer].recipe_for(filaments[plate.filament])
        slope, share = slopes.get((plate.printer, recipe)), plate.minutes / plan.print_minutes
        spread += share * (relative_spread(slope) if slope else unmeasured)
        known += share if slope else 0
    return spread, known


def relative_spread(slope: Slope) -> float:
    """Standard deviation of measured over expected, with n - 1 degrees of freedom as the slope has."""
    squares = sum((ratio / slope.factor - 1) ** 2 for ratio in slope.ratios)
    return sqrt(squares / (len(slope.ratios) - 1))


@memo
def _experience(measured: tuple[Measured, ...]) -> tuple[Experience, ...]:
    return experience_of(measured)
