"""The price of a panel: cost, what is put on it and taken off it, tax and deposits."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from decimal import Decimal

from studio.money import minor_unit, percent_of, round_money, split
from studio.pricing.adjust import adjustments
from studio.pricing.asked import asked
from studio.pricing.check import problems_in
from studio.pricing.client import client_lines
from studio.pricing.costs import costs
from studio.pricing.headings import by_heading
from studio.pricing.labour import labour_minutes
from studio.pricing.quantities import Quantities
from studio.pricing.rate_book import Heading, RateBook, TaxCategory
from studio.pricing.sheet import ClientLine, Deposited, PriceSheet, TaxLine
from studio.pricing.tax import heading_taxes, tax_lines
from studio.pricing.terms import Terms
from studio.problem import refuse_all

__all__ = ["price"]


def price(quantities: Quantities, book: RateBook, terms: Terms) -> PriceSheet:
    """The whole sheet. Raises Refused with everything in the rate book or the terms that keeps a price from
    being made.

    In order: cost; target price by margin or markup; minimum charge; the client's lines with discount and
    rounding (of the price that the client reads first); their tax; deposits. Commission is taken of the net
    and card fees of the gross price that results, and the margin is what is left, so a discount or rounding
    restates all three.
    """
    refuse_all(problems_in(quantities, book, terms))
    found, categories = costs(quantities, book), heading_taxes(book, terms)
    cost = sum((item.line.amount for item in found), 0 * minor_unit(book.currency))
    by_code = {category.code: category for category in book.tax}

    def taxed(lines: Iterable[ClientLine]) -> tuple[TaxLine, ...]:
        pairs = ((by_code[line.tax], line.amount) for line in lines)
        return tax_lines(pairs, terms.gross_first, book.tax_rounding, book.currency)

    headings = by_heading(found, book)
    made = asked(headings, categories, book, terms)
    shown = client_lines(made, categories, book, terms)
    taxes = taxed(shown)
    off = taxed(line for line in shown if line.code == "discount")
    net, tax = (sum((getattr(line, part) for line in taxes), Decimal(0)) for part in ("net", "tax"))
    by_rate = _by_rate(headings, categories, cost, book.currency)
    added, left = adjustments(by_rate, made, off, net, tax, book, terms)
    return PriceSheet(
        currency=book.currency,
        lines=(*(item.line for item in found), *added),
        client_lines=shown,
        lines_with_tax=terms.gross_first,
        taxes=taxes,
        cost=cost,
        net=net,
        tax=tax,
        gross=net + tax,
        deposits=deposits(taxes, book),
        margin_percent=percent_of(left, net),
        labour_minutes=labour_minutes(quantities, book),
    )


def _by_rate(
    costs: Mapping[Heading, Decimal], categories: Mapping[Heading, TaxCategory], whole: Decimal, currency: str
) -> dict[Decimal, Decimal]:
    """Cost by the rate of tax on its heading, the first of which bears what rounding leaves."""
    found: dict[Decimal, Decimal] = {}
    for heading, cost in costs.items():
        percent = categories[heading].percent
        found[percent] = found.get(percent, Decimal(0)) + cost
    first, *others = found
    rounded = {percent: round_money(found[percent], currency) for percent in others}
    return {first: whole - sum(rounded.values(), Decimal(0)), **rounded}


def deposits(taxes: Sequence[TaxLine], book: RateBook) -> tuple[Deposited, ...]:
    """Gross by the plan's percentages and the tax in proportion to it, both by largest remainder: the parts
    add up to gross, tax and net, and none has more tax than gross. Net and tax of each part are then split
    over the tax categories, and the tax in each over the category's own taxes."""
    net = sum((line.net for line in taxes), Decimal(0))
    tax = sum((line.tax for line in taxes), Decimal(0))
    gross = split(net + tax, [part.percent for part in book.deposits], book.currency)
    shares = split(tax, gross, book.currency)
    nets = [whole - share for whole, share in zip(gross, shares, strict=True)]
    net_parts = zip(*_dealt(nets, [line.net for line in taxes], book.currency), strict=True)
    tax_parts = zip(*_dealt(shares, [line.tax for line in taxes], book.currency), strict=True)
    lines = (
        _stages(line, ours, theirs, book.currency)
        for line, ours, theirs in zip(taxes, net_parts, tax_parts, strict=True)
    )
    return tuple(
        Deposited(part.text, part.percent, whole, whole - share, share, own)
        for part, whole, share, own in zip(
            book.deposits, gross, shares, zip(*lines, strict=True), strict=True
        )
    )


def _stages(
    line: TaxLine, nets: Sequence[Decimal], taxes: Sequence[Decimal], currency: str
) -> Iterator[TaxLine]:
    """A category's part of each payment."""
    dealt = _dealt(taxes, [part.tax for part in line.parts], currency) if line.parts else [()] * len(taxes)
    for net, tax, parts in zip(nets, taxes, dealt, strict=True):
        own = (replace(part, tax=share) for part, share in zip(line.parts, parts, strict=True))
        yield replace(line, net=net, tax=tax, parts=tuple(own))


def _dealt(
    rows: Sequence[Decimal], columns: Sequence[Decimal], currency: str
) -> Iterator[tuple[Decimal, ...]]:
    """A table with the sums of `rows` and `columns`, which have the same total and nothing below 0.

    Each row is split by what is left of the columns. A part is never more than what is left of its column,
    since a row is never more than what is left of all; so the last row takes exactly what is left.
    """
    left = list(columns)
    for row in rows:
        parts = split(row, left, currency)
        left = [rest - part for rest, part in zip(left, parts, strict=True)]
        yield parts
