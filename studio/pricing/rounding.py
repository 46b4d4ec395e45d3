"""Rounding a price to the studio's step, or to an ending above it."""

from decimal import ROUND_CEILING, ROUND_HALF_UP, Decimal
from typing import Literal, assert_never

__all__ = ["RoundingWay", "to_step"]

RoundingWay = Literal["nearest", "up"]


def to_step(amount: Decimal, step: Decimal, way: RoundingWay, ending: Decimal = Decimal(0)) -> Decimal:
    """`amount` (not negative) as a whole number of steps and the `ending` above them, which is less than a
    step: 1 and 0.99 make 12.99, 10 and 9.95 make 19.95. Halves go up, and a price never becomes nothing: the
    least is the ending, or one step. A step of 0 leaves the amount alone."""
    if not step or not amount:
        return amount
    match way:
        case "up":
            steps = ((amount - ending) / step).to_integral_value(ROUND_CEILING)
        case "nearest":
            steps = ((amount - ending) / step).to_integral_value(ROUND_HALF_UP)
        case _:
            assert_never(way)
    return max(steps, Decimal(0 if ending else 1)) * step + ending
