"""Rounding a price to the studio's step, on net or on gross."""

from collections.abc import Callable
from decimal import ROUND_CEILING, ROUND_HALF_UP, Decimal
from typing import Literal, assert_never

from studio.money import minor_unit
from studio.pricing.tax import net_from_gross

__all__ = ["RoundingWay", "net_for_gross", "to_step"]

RoundingWay = Literal["nearest", "up"]

REACH = 12
"""Minor units searched on each side. At most five tax categories share a rounding, which moves tax by less
than 2.5 minor units, and at most fifteen lines have their tax rounded, which moves it by 7.5."""


def to_step(amount: Decimal, step: Decimal, way: RoundingWay) -> Decimal:
    """`amount` (not negative) as a whole number of steps; halves go up, and a price never becomes nothing:
    below half a step it is one step. A step of 0 leaves the amount alone."""
    if not step or not amount:
        return amount
    match way:
        case "up":
            steps = (amount / step).to_integral_value(ROUND_CEILING)
        case "nearest":
            steps = (amount / step).to_integral_value(ROUND_HALF_UP)
        case _:
            assert_never(way)
    return max(steps, Decimal(1)) * step


def net_for_gross(
    goal: Decimal, percent: Decimal, currency: str, gross_of: Callable[[Decimal], Decimal]
) -> Decimal:
    """The net whose gross, by `gross_of`, is `goal`, nearest to the reverse percentage.

    Since tax is rounded on the net, some figures are nobody's gross: at 20 % no net gives 99.99 (83.32 gives
    99.98, 83.33 gives 100.00). Then the tax rule stands and the price misses the step by as little as can be,
    upwards when two are as near. `percent` is the rate on the whole; where parts of it have rates of their
    own, `gross_of` knows, and the search goes far enough for what rounding makes of them.
    """
    guess, unit = net_from_gross(goal, percent, currency), minor_unit(currency)
    if gross_of(guess) == goal:
        return guess
    best, least = guess, _miss(gross_of(guess), goal)
    for k in sorted(range(-REACH, REACH + 1), key=abs):
        net = guess + k * unit
        if net >= 0 and (miss := _miss(gross_of(net), goal)) < least:
            best, least = net, miss
        if not least[0]:
            break
    return best


def _miss(gross: Decimal, goal: Decimal) -> tuple[Decimal, bool]:
    return abs(gross - goal), gross < goal
