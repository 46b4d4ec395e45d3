"""What failures are expected to add: a hazard per printing hour, and whole plates printed again."""

from collections.abc import Iterable
from math import ceil, expm1, prod

__all__ = ["expected_extra_runs", "failure_probability", "starts_for"]


def failure_probability(failures_per_hour: float, hours: float) -> float:
    """Probability that a run of `hours` fails, 1 - exp(-hazard hours): 3 % at 3 h is 13 % at 14 h."""
    return -expm1(-failures_per_hour * hours)


def expected_extra_runs(failures_per_hour: float, hours: float) -> float:
    """Runs beyond the first until one succeeds, p / (1 - p) (mean of the geometric distribution), each
    counted whole."""
    return expm1(failures_per_hour * hours)


def starts_for(good: int, failure_probabilities: Iterable[float]) -> int:
    """Units to start so that `good` are expected to come through every step: ceil(N / product of (1 - p))."""
    return ceil(good / prod(1 - p for p in failure_probabilities) - 1e-9)
