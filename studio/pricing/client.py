"""What the client sees of a price: headings that add up to it and show neither cost nor margin."""

from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from typing import assert_never

from studio.money import round_money, split
from studio.pricing.asked import Asked
from studio.pricing.headings import TEXTS, borne
from studio.pricing.rate_book import Heading, RateBook, TaxCategory
from studio.pricing.rounding import to_step
from studio.pricing.sheet import ClientLine
from studio.pricing.tax import with_tax
from studio.pricing.terms import Discount, Terms
from studio.problem import Refused

__all__ = ["client_lines"]


def client_lines(
    made: Asked, taxes: Mapping[Heading, TaxCategory], book: RateBook, terms: Terms
) -> tuple[ClientLine, ...]:
    """What is offered by heading, then the discount with its reason, then the rounding: with tax where the
    gross is the price and is rounded, without where the net is. Raises Refused for a discount that leaves
    nothing.

    Discount and rounding belong to no heading, so they are the panel's: one line of its tax category (EN
    16931 has one on every allowance and charge), and another only for what would take that below 0. A
    discount on parts with different rates of tax is given off each by what it comes to, largest remainder,
    so that nobody picks the rate that it takes the tax from (common practice, no source).
    """
    amounts = made.headings
    if terms.gross_first:
        amounts = {each: with_tax(net, taxes[each], book.currency) for each, net in amounts.items()}
    lines = tuple(
        ClientLine(heading, TEXTS[heading], amount, taxes[heading].code)
        for heading, amount in amounts.items()
    )
    first = taxes["panel"].code
    if terms.discount is not None:
        off, text = _off(terms.discount, _sum(lines), book.currency), f"Discount: {terms.discount.reason}"
        if len({taxes[heading].percent for heading in amounts}) > 1:
            lines = *lines, *_apportioned("discount", text, -off, lines, book.currency)
        else:
            lines = *lines, *_spread("discount", text, -off, lines, first)
    least = book.minimum_charge * _sum(lines[: len(amounts)]) / (made.target + made.top_up or 1)
    price = _sum(lines)
    off_step = round_money(_goal(price, least, book, terms) - price, book.currency)
    return *lines, *_spread("rounding", "Rounding", off_step, lines, first)


def _goal(price: Decimal, least: Decimal, book: RateBook, terms: Terms) -> Decimal:
    """`price` to the step; up where the nearest one would be below the `least` that is charged."""
    ending = book.rounding_ending if terms.client_kind == "consumer" else Decimal(0)
    goal = to_step(price, book.rounding_step, book.rounding_way, ending)
    return to_step(price, book.rounding_step, "up", ending) if goal < least <= price else goal


def _sum(lines: Sequence[ClientLine]) -> Decimal:
    return sum((line.amount for line in lines), Decimal(0))


def _off(discount: Discount, price: Decimal, currency: str) -> Decimal:
    match discount.kind:
        case "percent":
            off = round_money(price * discount.value / 100, currency)
        case "amount":
            off = round_money(discount.value, currency)
        case _:
            assert_never(discount.kind)
    if off and off >= price:
        raise Refused.because(
            "brief.terms.discount.value",
            f"the discount of {off} {currency} leaves nothing of the price of {price} {currency}",
            f"give less than {price} {currency}",
        )
    return off


def _spread(
    code: str, text: str, amount: Decimal, lines: Sequence[ClientLine], first: str
) -> Iterator[ClientLine]:
    for tax, part in borne(amount, {first: Decimal(0)} | _by_tax(lines)):
        yield ClientLine(code, text, part, tax)


def _apportioned(
    code: str, text: str, amount: Decimal, lines: Sequence[ClientLine], currency: str
) -> Iterator[ClientLine]:
    sums = _by_tax(lines)
    for tax, part in zip(sums, split(amount, list(sums.values()), currency), strict=True):
        if part:
            yield ClientLine(code, text, part, tax)


def _by_tax(lines: Sequence[ClientLine]) -> dict[str, Decimal]:
    sums: dict[str, Decimal] = {}
    for line in lines:
        sums[line.tax] = sums.get(line.tax, Decimal(0)) + line.amount
    return sums
