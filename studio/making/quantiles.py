"""Two quantiles that intervals are made of, for whole degrees of freedom."""

from collections.abc import Callable
from math import cos, exp, pi, sin, sqrt, tan

__all__ = ["poisson_limits", "student_point"]

HALVINGS = 80
"""Of the bracket in which a root is sought: beyond what floats resolve."""


def student_point(chance: float, freedom: int) -> float:
    """The t that Student's distribution with `freedom` degrees of freedom stays within, on both sides, with
    this chance. Its probability is a finite sum of powers of a cosine (M. Abramowitz, I. Stegun, Handbook of
    Mathematical Functions, 26.7.3 and 26.7.4, from memory)."""
    return sqrt(freedom) * tan(_root(lambda angle: _student(angle, freedom) - chance, 0.0, pi / 2))


def _student(angle: float, freedom: int) -> float:
    """Probability of |t| < sqrt(freedom) tan(angle)."""
    odd = freedom % 2
    term, total = (cos(angle) if odd else 1.0), 0.0
    for power in range(1 + odd, freedom, 2):
        total += term
        term *= cos(angle) ** 2 * power / (power + 1)
    return 2 / pi * (angle + sin(angle) * total) if odd else sin(angle) * total


def poisson_limits(count: int, chance: float) -> tuple[float, float]:
    """Exact limits for the mean of a Poisson variable that came out as `count` (F. Garwood, Fiducial limits
    for the Poisson distribution, Biometrika 28 (1936), from memory): as much of the remaining chance lies
    beyond either limit; none below 0."""
    tail = (1 - chance) / 2
    most = 2.0 * count + 50.0 / (tail + 1e-3) ** 0.5
    low = _root(lambda mean: tail - _at_least(count, mean), 0.0, count) if count else 0.0
    return low, _root(lambda mean: tail - (1 - _at_least(count + 1, mean)), count, most)


def _at_least(count: int, mean: float) -> float:
    """Probability that a Poisson variable comes out as `count` or more."""
    term, total = exp(-mean), 0.0
    for number in range(count):
        total += term
        term *= mean / (number + 1)
    return 1 - total


def _root(function: Callable[[float], float], low: float, high: float) -> float:
    """Where a monotone function passes 0 between `low` and `high`, by halving."""
    rises = function(high) > function(low)
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        if (function(middle) > 0) == rises:
            high = middle
        else:
            low = middle
    return (low + high) / 2
