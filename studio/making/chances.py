"""What chance does to a plan: plates that fail, a hazard per printing hour, and are printed again whole, and
labour that takes longer or shorter than planned.

Two named distributions, drawn from a fixed seed: the same inputs always have the same luck.
"""

from collections.abc import Sequence
from math import expm1
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from studio.memo import memo

__all__ = [
    "COURSES", "SEED",
    "expected_extra_runs", "expected_failures", "failure_probability", "failures", "labour_factors",
]  # fmt: skip

COURSES = 500
"""How many courses of making are drawn."""
SEED = 20_260_302
"""Any number will do; changing it changes every date that is held."""


def failure_probability(failures_per_hour: float, hours: float) -> float:
    """Probability that a run of `hours` fails, 1 - exp(-hazard hours): 3 % at 3 h is 13 % at 14 h."""
    return -expm1(-failures_per_hour * hours)


def expected_extra_runs(failures_per_hour: float, hours: float) -> float:
    """Runs beyond the first until one succeeds, p / (1 - p) (mean of the geometric distribution), each
    counted whole."""
    return expm1(failures_per_hour * hours)


def failures(failures_per_hour: float, minutes: Sequence[float], courses: int = COURSES) -> NDArray[np.int64]:
    """How often each plate fails before it succeeds, courses x plates.

    A run of t hours fails with probability p = 1 - exp(-hazard t), each time anew: the number of failures
    before the first success is geometric, P(n or more) = p^n, drawn by inverting that.
    """
    failing = np.array([failure_probability(failures_per_hour, length / 60) for length in minutes])
    with np.errstate(divide="ignore"):  # ln 0 where nothing ever fails
        found: NDArray[np.int64] = (np.log(_shares(courses, len(minutes))) / np.log(failing)).astype(np.int64)
    return found


def labour_factors(spread: float, stages: int, courses: int = COURSES) -> NDArray[np.float64]:
    """What each stage of labour takes over what was planned, courses x stages.

    Log-normal with sigma `spread` and mean 1: the planned minutes are what the price expects. One factor for
    the whole of a stage, since a job that turns out harder does so in all of it.
    """
    return np.exp(spread * _normal(courses, stages) - spread**2 / 2)


def expected_failures(failures_per_hour: float, minutes: Sequence[float]) -> list[int]:
    """Expected failures as whole runs, the longest plates first: all the plates up to one have as many as are
    expected of them together, rounded half up."""
    found, expected, counted = [0] * len(minutes), 0.0, 0
    for plate in sorted(range(len(minutes)), key=lambda plate: -minutes[plate]):
        expected += expected_extra_runs(failures_per_hour, minutes[plate] / 60)
        found[plate] = int(expected + 0.5) - counted
        counted += found[plate]
    return found


@memo
def _shares(courses: int, columns: int, stream: int = 1) -> NDArray[np.float64]:
    """Numbers above 0 and below 1, evenly spread in each column and in no order (Latin hypercube: McKay,
    Beckman and Conover, Technometrics 21 (1979), from memory): each column has one in every n-th part of the
    way, so that few courses show the tails of each chance as they are."""
    generator = np.random.Generator(np.random.PCG64([SEED, stream]))
    parts = np.tile(np.arange(courses)[:, None], (1, columns))
    within = generator.random((courses, columns)).clip(1e-12, 1 - 1e-12)
    shares: NDArray[np.float64] = (generator.permuted(parts, axis=0) + within) / courses
    shares.flags.writeable = False
    return shares


@memo
def _normal(courses: int, columns: int) -> NDArray[np.float64]:
    """Standard normal numbers, spread in the same way."""
    shares = _shares(courses, columns, stream=2)
    normal = np.array([NormalDist().inv_cdf(share) for share in shares.ravel().tolist()])
    normal.flags.writeable = False
    return normal.reshape(courses, columns)
