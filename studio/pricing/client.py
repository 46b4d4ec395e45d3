"""What the client sees of a price: headings that add up to net and show neither cost nor margin."""

from collections.abc import Iterable
from decimal import Decimal

from studio.pricing.costs import Cost, Heading
from studio.pricing.money import split
from studio.pricing.sheet import ClientLine
from studio.pricing.terms import Discount

__all__ = ["client_lines", "weigh"]

TEXTS: dict[Heading, str] = {
    "panel": "Lattice panel, made to measure",
    "light": "Lighting",
    "backing": "Backing",
    "delivery": "Delivery",
    "hanging": "Hanging",
}


def weigh(costs: Iterable[Cost]) -> dict[Heading, Decimal]:
    """Cost by heading, in the order in which clients read them, panel always first; what all headings share
    is left out. With no cost at all the panel carries the price."""
    weights = dict.fromkeys(TEXTS, Decimal(0))
    for cost in costs:
        if cost.heading:
            weights[cost.heading] += cost.line.amount
    if not any(weights.values()):
        weights["panel"] = Decimal(1)
    return {heading: weight for heading, weight in weights.items() if weight}


def client_lines(
    net: Decimal, off: Decimal, discount: Discount | None, weights: dict[Heading, Decimal], currency: str
) -> tuple[ClientLine, ...]:
    """`net` as lines: the price before the discount `off` is split over the headings by cost (largest
    remainder), so margin, overhead and rounding are in them; then the discount with its reason."""
    parts = split(net + off, list(weights.values()), currency)
    lines = tuple(
        ClientLine(heading, TEXTS[heading], part) for heading, part in zip(weights, parts, strict=True)
    )
    if not off or discount is None:
        return lines
    return *lines, ClientLine("discount", f"Discount: {discount.reason}", -off)
