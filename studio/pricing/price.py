"""The price of a panel: cost, what is put on it and taken off it, tax and deposits."""

from collections.abc import Callable
from decimal import ROUND_HALF_UP, Decimal

from studio.pricing.adjust import adjustments
from studio.pricing.check import problems_in
from studio.pricing.client import client_lines, weigh
from studio.pricing.costs import costs, labour_minutes
from studio.pricing.money import minor_unit, round_money, split
from studio.pricing.offer import Offer, offer
from studio.pricing.quantities import Quantities
from studio.pricing.rate_book import RateBook, TaxCategory
from studio.pricing.rounding import net_for_gross, to_step
from studio.pricing.sheet import ClientLine, Deposited, PriceSheet, TaxLine
from studio.pricing.tax import tax_lines
from studio.pricing.terms import Terms
from studio.problem import refuse_all

__all__ = ["price"]


def price(quantities: Quantities, book: RateBook, terms: Terms) -> PriceSheet:
    """The whole sheet. Raises Refused with everything in the rate book or the terms that keeps a price from
    being made.

    In order: cost; target price by margin or markup; minimum charge; discount; rounding (gross for consumers,
    net for businesses); tax on the client's lines; deposits. Shares are taken of the net price that results,
    and the margin is what is left, so a discount or rounding restates both.
    """
    refuse_all(problems_in(quantities, book, terms))
    found = costs(quantities, book)
    cost = sum((item.line.amount for item in found), 0 * minor_unit(book.currency))
    made, category = offer(cost, book, terms), _category(book, terms)
    weights = weigh(found)

    def shown(net: Decimal) -> tuple[ClientLine, ...]:
        return client_lines(net, made.off, terms.discount, weights, book.currency)

    def taxed(net: Decimal) -> tuple[TaxLine, ...]:
        return tax_lines([(category, line.amount) for line in shown(net)], book.tax_rounding, book.currency)

    net = _rounded(made, category, book, terms, taxed)
    added, left = adjustments(cost, made, net, book, terms)
    taxes = taxed(net)
    tax = sum((line.tax for line in taxes), Decimal(0))
    return PriceSheet(
        currency=book.currency,
        lines=(*(item.line for item in found), *added),
        client_lines=shown(net),
        taxes=taxes,
        cost=cost,
        net=net,
        tax=tax,
        gross=net + tax,
        deposits=deposits(net, tax, book),
        margin_percent=_percent(left, net),
        labour_minutes=labour_minutes(quantities, book),
    )


def _category(book: RateBook, terms: Terms) -> TaxCategory:
    return next(category for category in book.tax if category.code == terms.tax)


def _rounded(
    made: Offer,
    category: TaxCategory,
    book: RateBook,
    terms: Terms,
    taxed: Callable[[Decimal], tuple[TaxLine, ...]],
) -> Decimal:
    def gross_of(net: Decimal) -> Decimal:
        return net + sum(line.tax for line in taxed(net))

    if terms.client_kind == "business":
        return round_money(to_step(made.asked, book.rounding_step, book.rounding_way), book.currency)
    gross = gross_of(made.asked)
    goal = to_step(gross, book.rounding_step, book.rounding_way)
    if goal == gross:
        return made.asked
    return net_for_gross(goal, category.percent, book.currency, gross_of)


def deposits(net: Decimal, tax: Decimal, book: RateBook) -> tuple[Deposited, ...]:
    """Gross by the plan's percentages and the tax in proportion to it, both by largest remainder: the parts
    add up to gross, tax and net, and none has more tax than gross."""
    gross = split(net + tax, [part.percent for part in book.deposits], book.currency)
    taxes = split(tax, gross, book.currency)
    return tuple(
        Deposited(part.text, part.percent, whole, whole - share, share)
        for part, whole, share in zip(book.deposits, gross, taxes, strict=True)
    )


def _percent(part: Decimal, whole: Decimal) -> Decimal:
    """`part` of `whole` in per cent to 0.01; 0 where there is no price at all."""
    if not whole:
        return Decimal("0.00")
    return (100 * part / whole).quantize(Decimal("0.01"), ROUND_HALF_UP) + 0
