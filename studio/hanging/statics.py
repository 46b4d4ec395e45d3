"""Equilibrium of a rigid panel on two supports, and what a projection off the wall adds."""

from collections.abc import Sequence
from itertools import combinations

__all__ = ["GRAVITY_M_S2", "newtons", "pull_out_n", "shares", "worst_share"]

GRAVITY_M_S2 = 9.80665
"""Standard acceleration of free fall: ISO 80000-3 (from memory)."""
TOLERANCE = 1e-9


def newtons(mass_g: float) -> float:
    """Weight of a mass."""
    return mass_g / 1000 * GRAVITY_M_S2


def shares(first_mm: float, second_mm: float, centre_mm: float) -> tuple[float, float]:
    """What two supports carry of a panel, as shares of its weight, by the lever rule: moments about either
    vanish. One below zero would have to pull: the two stand on one side of the centre of mass and cannot
    carry the panel. Supports at one place share it, where the centre is there too."""
    if abs(second_mm - first_mm) < TOLERANCE:
        aside = centre_mm - first_mm
        return (0.5, 0.5) if abs(aside) < TOLERANCE else (-1.0, -1.0)
    second = (centre_mm - first_mm) / (second_mm - first_mm)
    return 1 - second, second


def worst_share(places_mm: Sequence[float], centre_mm: float, any_two: bool = True) -> float | None:
    """The largest share that one of the supports may have to carry alone with one other, whichever two touch;
    None where two of them cannot carry the panel, or, without `any_two`, where no two can.

    No wall is flat, so that of more than two supports any two may carry all. Of those, the two that stand on
    one side of the centre of mass cannot; without `any_two` they are left out, since a third one then
    touches: what is left are the corners of all states of equilibrium, in which the largest load on a support
    lies."""
    found = [shares(*pair, centre_mm) for pair in combinations(places_mm, 2)]
    carrying = [pair for pair in found if min(pair) >= -TOLERANCE]
    if not carrying or (any_two and len(carrying) < len(found)):
        return None
    return max(max(pair) for pair in carrying)


def pull_out_n(weight_n: float, projection_mm: float, height_mm: float) -> float:
    """Tension in the fixings above, of a weight whose centre is `projection_mm` off the wall and that leans
    on the wall `height_mm` below them: moments about the lower contact, T = W e / h."""
    return weight_n * projection_mm / height_mm
