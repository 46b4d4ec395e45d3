"""What copper takes: resistance at its temperature, and the volts lost along leads and strips.

Direct current of one pair of conductors; resistance is per metre of one conductor, or of both ("loop").
"""

from math import sqrt

__all__ = ["lead_drop_v", "longest_run_m", "strip_drop_v", "warm_factor"]

COPPER_PER_K = 0.004
"""Rise of copper's resistance per kelvin above 20 °C (IEC 60228, table of correction factors)."""


def warm_factor(deg_c: float) -> float:
    """Resistance at a temperature over that at 20 °C."""
    return 1 + COPPER_PER_K * (deg_c - 20)


def lead_drop_v(amps: float, length_m: float, ohms_per_m: float) -> float:
    """There and back through a lead, its length one way: 2 L I R."""
    return 2 * length_m * amps * ohms_per_m


def strip_drop_v(amps: float, length_m: float, loop_ohms_per_m: float) -> float:
    """Along a run that is fed at one end with `amps`, to its far end.

    At x metres from the feed flows I(1 - x/L), as each metre takes as much as the next: the integral of
    r I (1 - x/L) dx over the run is r I L/2. A current reckoned at the nominal volts is the safe side of one
    that falls with the volts.
    """
    return amps * loop_ohms_per_m * length_m / 2


def longest_run_m(
    volts: float, watts_per_m: float, drop_v: float, lead_loop_ohms: float, loop_ohms_per_m: float
) -> float:
    """The longest run whose far end loses no more than `drop_v` behind a lead of this resistance, there and
    back: the positive root of (w L/V)(R + r L/2) = drop. With no resistance at all, endless."""
    per_m = watts_per_m / volts
    square, linear = per_m * loop_ohms_per_m / 2, per_m * lead_loop_ohms
    if square == 0:
        return drop_v / linear if linear else float("inf")
    return (sqrt(linear**2 + 4 * square * drop_v) - linear) / (2 * square)
