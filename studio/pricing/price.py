"""The price of a panel: cost, what is put on it and taken off it, tax and deposits."""

from collections.abc import Callable
from decimal import Decimal

from studio.pricing.adjust import adjustments
from studio.pricing.asked import Asked, asked
from studio.pricing.check import problems_in
from studio.pricing.client import client_lines, weigh
from studio.pricing.costs import costs, labour_minutes
from studio.pricing.deposits import deposits
from studio.pricing.money import minor_unit, percent_of, round_money
from studio.pricing.quantities import Quantities
from studio.pricing.rate_book import RateBook
from studio.pricing.rounding import net_for_gross, to_step
from studio.pricing.sheet import ClientLine, PriceSheet, TaxLine
from studio.pricing.tax import heading_taxes, mean_percent, tax_lines
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
    made, weights = asked(cost, book, terms), weigh(found)
    codes, by_code = heading_taxes(book, terms), {category.code: category for category in book.tax}

    def shown(net: Decimal) -> tuple[ClientLine, ...]:
        return client_lines(net, made, terms.discount, weights, codes, book.currency)

    def taxed(net: Decimal) -> tuple[TaxLine, ...]:
        pairs = [(by_code[line.tax], line.amount) for line in shown(net)]
        return tax_lines(pairs, book.tax_rounding, book.currency)

    net = _rounded(made, book, terms, taxed)
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
        deposits=deposits(taxes, book),
        margin_percent=percent_of(left, net),
        labour_minutes=labour_minutes(quantities, book),
    )


def _rounded(
    made: Asked,
    book: RateBook,
    terms: Terms,
    taxed: Callable[[Decimal], tuple[TaxLine, ...]],
) -> Decimal:
    def gross_of(net: Decimal) -> Decimal:
        return net + sum(line.tax for line in taxed(net))

    if terms.client_kind == "business":
        return round_money(to_step(made.asked, book.rounding_step, book.rounding_way), book.currency)
    before = taxed(made.asked)
    gross = made.asked + sum(line.tax for line in before)
    goal = to_step(gross, book.rounding_step, book.rounding_way)
    if goal == gross:
        return made.asked
    return net_for_gross(goal, mean_percent(before), book.currency, gross_of)
