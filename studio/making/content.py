"""What a plate holds while it is being filled."""

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from studio.making.fitting import Fitted
from studio.making.setup import Setup

__all__ = ["Content"]


class Content:
    """Counts, seconds of each layer, grams, within its minutes and its spool."""

    def __init__(
        self, setup: Setup, limit_minutes: float, spool_g: float, layers: int, fits: Mapping[int, Fitted]
    ) -> None:
        self.setup, self.limit_minutes, self.fits = setup, limit_minutes, fits
        self.most_g = spool_g - setup.printer.start_g
        self.seconds: NDArray[np.float64] = np.zeros(layers)
        self.counts: dict[int, int] = {}
        self.mass_g = 0.0
        self.most_s = 60 * setup.printer.heat_up_minutes + layers * setup.recipe.min_layer_s

    def allow(self, part: int, wanted: int) -> int:
        """How many of `wanted` more parts the plate takes; they are then on it."""
        fit = self.fits[part]
        most = min(wanted, int((self.most_g - self.mass_g) / fit.mass_g + 1e-9)) if fit.mass_g else wanted
        count = self._within(fit, most)
        if count:
            self.seconds[: len(fit.seconds)] += count * fit.seconds
            self.counts[part] = self.counts.get(part, 0) + count
            self.mass_g += count * fit.mass_g
            self.most_s += count * fit.total_s
        return count

    def _within(self, fit: Fitted, most: int) -> int:
        """The largest number, at most `most`, that stays within the minutes."""
        if self.setup.factor.minutes * (self.most_s + most * fit.total_s) <= 60 * self.limit_minutes:
            return most  # even if every layer took its least time besides
        low, high = 0, most
        while low < high:
            middle = high if high == most else (low + high + 1) // 2
            seconds = self.seconds.copy()
            seconds[: len(fit.seconds)] += middle * fit.seconds
            fits = self.setup.plate_minutes(seconds) <= self.limit_minutes
            low, high = (middle, high) if fits else (low, middle - 1)
        return low
