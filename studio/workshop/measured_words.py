"""What the studio's own plates say of the plates to come, in words. Pure."""

from collections.abc import Sequence
from dataclasses import replace

from studio.making.equipment import STANDARD
from studio.making.measured import Factors, Hazard, Measured, experience_of
from studio.workshop.house_style import HouseStyle

__all__ = ["all_hazard", "enough", "factor_words", "kind_words"]

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


def all_hazard(measured: Sequence[Measured]) -> Hazard | None:
    """Failures per hour over all printers, as if one had run every plate: the rate book has one rate for all.
    None before any plate."""
    together = [replace(plate, printer="all", recipe=STANDARD) for plate in measured]
    return next((each.hazard for each in experience_of(together)), None)


def enough(hazard: Hazard | None) -> bool:
    """With no failure yet the rate would be nothing, which is luck."""
    return hazard is not None and hazard.hours >= ENOUGH_HOURS and hazard.failures > 0
