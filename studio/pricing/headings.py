"""What belongs to which of the client's headings, and who bears what belongs to none."""

from collections.abc import Iterable, Iterator, Mapping
from decimal import Decimal
from typing import TypeVar

from studio.pricing.costs import Cost
from studio.pricing.rate_book import Heading, RateBook

__all__ = ["TEXTS", "borne", "by_heading"]

Key = TypeVar("Key")
TEXTS: dict[Heading, str] = {
    "panel": "Lattice panel, made to measure",
    "light": "Lighting",
    "backing": "Backing",
    "delivery": "Delivery",
    "hanging": "Hanging",
}


def by_heading(costs: Iterable[Cost], book: RateBook) -> dict[Heading, Decimal]:
    """Cost by heading, each with the overhead of its own labour, in the order in which clients read them;
    what belongs to none is the panel's, and with no cost it carries the price. Not rounded, so that each is
    its own whatever lies beside it: they add up to the cost but for the rounding of all overhead."""
    found = dict.fromkeys(TEXTS, Decimal(0))
    for cost in costs:
        if cost.line.group != "overhead":
            found[cost.heading or "panel"] += cost.line.amount + cost.billable_hours * book.overhead_per_hour
    return {heading: amount for heading, amount in found.items() if amount} or {"panel": Decimal(0)}


def borne(amount: Decimal, pots: Mapping[Key, Decimal]) -> Iterator[tuple[Key, Decimal]]:
    """`amount` in as few parts as can be: the first of `pots` bears it, and the others, the largest first,
    only what would take that one below 0."""
    first = next(iter(pots), None)
    for key, held in sorted(pots.items(), key=lambda pot: (pot[0] != first, -pot[1])):
        part = max(amount, -held)
        if part:
            yield key, part
        amount -= part
