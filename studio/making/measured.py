"""What the studio's own plates really took, and what that says of the plates to come."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from math import sqrt
from types import MappingProxyType
from typing import Annotated

from pydantic import Field

from studio.document import document
from studio.making.equipment import STANDARD
from studio.making.quantiles import poisson_limits, student_point
from studio.problem import Problem, refuse_all
from studio.voice import number, said

__all__ = [
    "AS_COMPUTED", "ENOUGH_HOURS", "LEAST_PLATES", "NO_FACTORS", "Experience", "Factor", "Factors", "Hazard",
    "Measured", "Slope", "all_hazard", "enough", "experience_of", "fit_factors",
]  # fmt: skip

Name = Annotated[str, Field(min_length=1, max_length=80)]
Amount = Annotated[float, Field(ge=0, le=10**6)]

LEAST_PLATES = 3
"""Fewer plates do not show how much plates vary."""
LEAST = 0.01
"""Minutes and grams are computed to this much; less is nothing, and divides badly."""
WILD = 10
"""A plate that is this many times off is a slip of the pen, or another plate."""
CHANCE = 0.8
"""Of the ranges: 8 of 10."""
ENOUGH_HOURS = 100
"""Of printing, failed runs included, before failures counted in them can be a rate: our own judgement, no
source."""


@document
class Measured:
    """One plate that was run on a kind of printer by a recipe (its key, see Printer.recipe_for): what was
    computed for it, before any factor, and what it took. A failed one gives the minutes until it failed."""

    printer: Name
    recipe: Name = STANDARD
    text: Annotated[str, Field(max_length=200)] = ""
    estimated_minutes: Amount
    measured_minutes: Amount
    estimated_g: Amount
    measured_g: Amount
    failed: bool = False

    @property
    def minutes_ratio(self) -> float:
        """Measured over computed, where something was computed."""
        return self.measured_minutes / self.estimated_minutes

    @property
    def grams_ratio(self) -> float:
        return self.measured_g / self.estimated_g


@dataclass(frozen=True, slots=True)
class Factor:
    """What minutes and grams as computed are multiplied by."""

    minutes: float
    grams: float


AS_COMPUTED = Factor(1.0, 1.0)
Factors = Mapping[tuple[str, str], Factor]
"""By the printer's name and the recipe's key."""
NO_FACTORS: Factors = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class Slope:
    """Measured = factor × estimated, by least squares through the origin; `ratios` of each plate, in order;
    `spread` is the residuals' standard deviation, with n - 1 degrees of freedom."""

    factor: float
    ratios: tuple[float, ...]
    spread: float
    squares: float

    def expected(self, estimated: float) -> tuple[float, float]:
        """The range that holds the next plate in 8 of 10 cases: factor x -+ t s sqrt(1 + x^2 / sum of
        squares), the prediction interval of regression through the origin (J. Eisenhauer, Regression through
        the origin, Teaching Statistics 25 (2003), from memory); never below 0."""
        reach = self.spread * sqrt(1 + estimated**2 / self.squares)
        reach *= student_point(CHANCE, len(self.ratios) - 1)
        return max(0.0, self.factor * estimated - reach), self.factor * estimated + reach


@dataclass(frozen=True, slots=True)
class Hazard:
    """Failures in hours of printing, the rate per hour, and the exact limits that hold it in 8 of 10
    cases."""

    failures: int
    hours: float
    per_hour: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Experience:
    """What is known of one kind of printer and recipe; no slopes before LEAST_PLATES plates have come out
    well."""

    printer: str
    recipe: str
    minutes: Slope | None
    grams: Slope | None
    hazard: Hazard

    @property
    def factor(self) -> Factor:
        if self.minutes is None or self.grams is None:
            return AS_COMPUTED
        return Factor(self.minutes.factor, self.grams.factor)


def experience_of(measured: Sequence[Measured]) -> tuple[Experience, ...]:
    """One for each kind of printer and recipe that was measured, in the order of their first plates. Raises
    Refused, with every problem, where a plate cannot be right ("measured.2.measured_minutes")."""
    refuse_all(problem for index, plate in enumerate(measured) for problem in _nonsense(index, plate))
    keys = dict.fromkeys((plate.printer, plate.recipe) for plate in measured)
    return tuple(
        _experience(*key, [plate for plate in measured if (plate.printer, plate.recipe) == key])
        for key in keys
    )


def fit_factors(measured: Sequence[Measured]) -> dict[tuple[str, str], Factor]:
    """The factors that `make` takes, of every printer and recipe with enough plates. Raises Refused as
    `experience_of`."""
    found = (each for each in experience_of(measured) if each.minutes)
    return {(each.printer, each.recipe): each.factor for each in found}


def _experience(printer: str, recipe: str, plates: Sequence[Measured]) -> Experience:
    good = [plate for plate in plates if not plate.failed]
    enough = len(good) >= LEAST_PLATES
    minutes = _slope((plate.estimated_minutes, plate.measured_minutes) for plate in good) if enough else None
    grams = _slope((plate.estimated_g, plate.measured_g) for plate in good) if enough else None
    return Experience(printer, recipe, minutes, grams, _hazard(plates))


def _slope(pairs: Iterable[tuple[float, float]]) -> Slope:
    pairs = list(pairs)
    squares = sum(x * x for x, _ in pairs)
    factor = sum(x * y for x, y in pairs) / squares
    residuals = sum((y - factor * x) ** 2 for x, y in pairs)
    ratios = tuple(y / x for x, y in pairs)
    return Slope(factor, ratios, sqrt(residuals / (len(pairs) - 1)), squares)


def _hazard(plates: Sequence[Measured]) -> Hazard:
    """Failures per hour that printers ran, failed runs included."""
    hours = sum(plate.measured_minutes for plate in plates) / 60
    failures = sum(plate.failed for plate in plates)
    low, high = poisson_limits(failures, CHANCE)
    return Hazard(failures, hours, failures / hours, low / hours, high / hours)


def _nonsense(index: int, plate: Measured) -> Iterator[Problem]:
    """Amounts of nothing, and plates so far off that they are hardly the same plate."""
    pairs = (
        ("minutes", "minutes", plate.estimated_minutes, plate.measured_minutes),
        ("g", "g", plate.estimated_g, plate.measured_g),
    )
    for ending, unit, estimated, measured in pairs:
        if plate.failed and ending == "g":
            continue
        for name, value in (("estimated", estimated), ("measured", measured)):
            if value < LEAST:
                reason = said("a plate of {} {} is no plate", number(value), unit)
                yield Problem(f"measured.{index}.{name}_{ending}", reason, f"give more than 0 {unit}")
        if plate.failed or min(estimated, measured) < LEAST:
            continue
        times = max(measured / estimated, estimated / measured)
        if times >= WILD:
            more = "more" if measured > estimated else "less"
            reason = said(
                "{} {} are {} times {} than the {} computed",
                number(measured),
                unit,
                number(times, 0),
                more,
                number(estimated),
            )
            remedy = "check both figures: are they of the same plate?"
            yield Problem(f"measured.{index}.measured_{ending}", reason, remedy)


def all_hazard(measured: Sequence[Measured]) -> Hazard | None:
    """Failures per hour over all printers, as if one had run every plate: the rate book has one rate for all.
    None before any plate."""
    together = [replace(plate, printer="all", recipe=STANDARD) for plate in measured]
    return next((each.hazard for each in experience_of(together)), None)


def enough(hazard: Hazard | None) -> bool:
    """With no failure yet the rate would be nothing, which is luck."""
    return hazard is not None and hazard.hours >= ENOUGH_HOURS and hazard.failures > 0
