"""How long straight moves take."""

from math import sqrt

import numpy as np
from numpy.typing import ArrayLike, NDArray

__all__ = ["move_seconds", "one_move_seconds"]

STANDSTILL_MM_S = 1e-6


def move_seconds(
    lengths_mm: ArrayLike, speed_mm_s: float, acceleration_mm_s2: float, corner_mm_s: float
) -> NDArray[np.float64]:
    """Seconds of straight moves that begin and end at the corner speed; same shape as `lengths_mm`.

    Constant acceleration up to the speed and down again (trapezoidal profile); where a move is too short for
    that, up to the highest speed reached and down (triangular profile). The corner speed never exceeds the
    speed.
    """
    lengths = np.asarray(lengths_mm, dtype=np.float64)
    corner = min(corner_mm_s, speed_mm_s)
    square = np.minimum(corner**2 + acceleration_mm_s2 * lengths, speed_mm_s**2)
    peak = np.sqrt(square)
    steady = np.maximum(lengths - (square - corner**2) / acceleration_mm_s2, 0)
    if corner < STANDSTILL_MM_S:  # moves of no length have no peak
        peak = np.maximum(peak, 1e-12)
    return np.asarray((peak - corner) * (2 / acceleration_mm_s2) + steady / peak)


def one_move_seconds(
    length_mm: float, speed_mm_s: float, acceleration_mm_s2: float, corner_mm_s: float
) -> float:
    """The same for one move, without the cost of an array."""
    corner = min(corner_mm_s, speed_mm_s)
    peak = min(sqrt(corner**2 + acceleration_mm_s2 * length_mm), speed_mm_s)
    steady = max(length_mm - (peak**2 - corner**2) / acceleration_mm_s2, 0.0)
    return 2 * (peak - corner) / acceleration_mm_s2 + steady / max(peak, 1e-12)
