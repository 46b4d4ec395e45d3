"""What failures are expected to add: a hazard per printing hour, and whole plates printed again."""

from math import expm1

__all__ = ["expected_extra_runs", "failure_probability"]


def failure_probability(failures_per_hour: float, hours: float) -> float:
    """Probability that a run of `hours` fails, 1 - exp(-hazard hours): 3 % at 3 h is 13 % at 14 h."""
    return -expm1(-failures_per_hour * hours)


def expected_extra_runs(failures_per_hour: float, hours: float) -> float:
    """Runs beyond the first until one succeeds, p / (1 - p) (mean of the geometric distribution), each
    counted whole."""
    return expm1(failures_per_hour * hours)
