"""A printer with one filament: the recipe it follows, and how its plates have turned out so far."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from studio.making.equipment import Filament, Printer, Recipe
from studio.making.measured import AS_COMPUTED, Factor, Factors

__all__ = ["Setup", "setup_of"]


@dataclass(frozen=True)
class Setup:
    """`factor` corrects what is computed by what the studio has measured; 1 where it has not."""

    printer: Printer
    recipe: Recipe
    factor: Factor

    def plate_minutes(self, seconds: NDArray[np.float64]) -> float:
        """Heating up, then the layers, each with at least the recipe's least time; layers that hold nothing
        take none."""
        least = self.recipe.min_layer_s * (seconds > 0)
        layers = float(np.add.reduce(np.maximum(seconds, least))) / 60
        return self.factor.minutes * (self.printer.heat_up_minutes + layers)

    @property
    def longest_minutes(self) -> float:
        """The longest run less heating up, in minutes as computed."""
        return self.printer.longest_run_minutes / self.factor.minutes - self.printer.heat_up_minutes


def setup_of(printer: Printer, filament: Filament, factors: Factors) -> Setup:
    """How this printer prints this filament."""
    key, recipe = printer.recipe_for(filament)
    return Setup(printer, recipe, factors.get((printer.name, key), AS_COMPUTED))
