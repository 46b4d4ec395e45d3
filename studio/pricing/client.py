"""What the client sees of a price: headings that add up to net and show neither cost nor margin."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from decimal import Decimal

from studio.money import split
from studio.pricing.asked import Asked
from studio.pricing.costs import Cost
from studio.pricing.rate_book import Heading
from studio.pricing.sheet import ClientLine
from studio.pricing.terms import Discount

__all__ = ["TEXTS", "client_lines", "weigh"]

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
    net: Decimal,
    made: Asked,
    discount: Discount | None,
    weights: Mapping[Heading, Decimal],
    taxes: Mapping[Heading, str],
    currency: str,
) -> tuple[ClientLine, ...]:
    """`net` as lines: what is offered is split over the headings by cost (largest remainder), so margin and
    overhead are in them; then the discount with its reason, then the rounding.

    Discount and rounding belong to no heading, so each is split over the tax categories of the lines before
    it, by their amounts (EN 16931 has a category on every allowance and charge). What is taken from a
    category is never more than it has, since less is taken than there is in all.
    """
    parts = split(made.asked + made.off, list(weights.values()), currency)
    lines = tuple(
        ClientLine(heading, TEXTS[heading], part, taxes[heading])
        for heading, part in zip(weights, parts, strict=True)
    )
    if discount is not None:
        text = f"Discount: {discount.reason}"
        lines = *lines, *_spread("discount", text, -made.off, lines, currency)
    return *lines, *_spread("rounding", "Rounding", net - made.asked, lines, currency)


def _spread(
    code: str, text: str, amount: Decimal, lines: Sequence[ClientLine], currency: str
) -> Iterator[ClientLine]:
    """`amount` as one line for each tax category of `lines` that has a part of it."""
    sums: dict[str, Decimal] = {}
    for line in lines:
        sums[line.tax] = sums.get(line.tax, Decimal(0)) + line.amount
    for tax, part in zip(sums, split(amount, list(sums.values()), currency), strict=True):
        if part:
            yield ClientLine(code, text, part, tax)
