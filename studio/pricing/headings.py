"""What belongs to which of the client's headings, and who bears what belongs to none."""

from collections.abc import Iterable, Iterator, Mapping
from decimal import Decimal
from typing import TypeVar

from studio.money import round_money
from studio.pricing.costs import Cost
from studio.pricing.rate_book import Heading, RateBook

__all__ = ["TEXTS", "borne", "by_heading", "settled"]

Key = TypeVar("Key")
TEXTS: dict[Heading, str] = {
    "panel": "Lattice panel, made to measure",
    "light": "Lighting",
    "backing": "Backing",
    "delivery": "Delivery",
    "hanging": "Hanging",
}


def by_heading(costs: Iterable[Cost], book: RateBook) -> dict[Heading, Decimal]:
    """Cost by heading, each with the overhead of its own labour, in the order in which clients read them.
    They add up to the cost: the panel bears what rounding leaves, and with no cost it carries the price."""
    found, whole = dict.fromkeys(TEXTS, Decimal(0)), Decimal(0)
    for cost in costs:
        whole += cost.line.amount
        if cost.heading:
            found[cost.heading] += cost.line.amount + cost.billable_hours * book.overhead_per_hour
    rounded = {heading: round_money(amount, book.currency) for heading, amount in found.items()}
    shown = {heading: amount for heading, amount in settled(rounded, whole).items() if amount}
    return shown or {"panel": whole}


def settled(amounts: Mapping[Heading, Decimal], whole: Decimal) -> dict[Heading, Decimal]:
    """`amounts`, none negative, made to add up to `whole`: the panel bears what is missing or too much, and
    the others only what would take it below 0."""
    order = sorted(amounts, key=lambda heading: heading != "panel")
    parts = dict(borne(whole - sum(amounts.values()), {heading: amounts[heading] for heading in order}))
    return {heading: amount + parts.get(heading, 0) for heading, amount in amounts.items()}


def borne(amount: Decimal, pots: Mapping[Key, Decimal]) -> Iterator[tuple[Key, Decimal]]:
    """`amount` in as few parts as can be: the first of `pots` bears it, and the others, the largest first,
    only what would take that one below 0."""
    first = next(iter(pots), None)
    for key, held in sorted(pots.items(), key=lambda pot: (pot[0] != first, -pot[1])):
        part = max(amount, -held)
        if part:
            yield key, part
        amount -= part
