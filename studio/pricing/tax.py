"""Tax on rounded lines: added to net ones as EN 16931 has it, taken out of those that hold it."""

from collections.abc import Iterable, Mapping
from decimal import Decimal
from typing import Literal, assert_never, get_args

from studio.money import round_money
from studio.pricing.rate_book import Heading, RateBook, TaxCategory
from studio.pricing.sheet import TaxLine
from studio.pricing.terms import Terms

__all__ = ["TaxRounding", "heading_taxes", "net_from_gross", "tax_lines", "with_tax"]

TaxRounding = Literal["per category", "per line"]


def heading_taxes(book: RateBook, terms: Terms) -> Mapping[Heading, TaxCategory]:
    """The tax category of each of the client's headings: the commission's, or where that is the rate book's
    first one the heading's own."""
    by_code = {category.code: category for category in book.tax}
    own = book.heading_tax if terms.tax == book.tax[0].code else {}
    return {heading: by_code[own.get(heading, terms.tax)] for heading in get_args(Heading)}


def tax_lines(
    taxed: Iterable[tuple[TaxCategory, Decimal]], holding_tax: bool, rounding: TaxRounding, currency: str
) -> tuple[TaxLine, ...]:
    """One line per category, in order of appearance, from (category, amount) pairs.

    Amounts without tax: "per category" rounds the tax on the sum of a category's lines (EN 16931, BR-CO-17),
    "per line" rounds the tax of each line and adds up. Amounts that hold it: the net is taken out of each sum
    or line, rounded once, and the tax is the rest, as retailers do (the "VAT fraction" of the United
    Kingdom's VAT guide, Notice 700; from memory). There BR-CO-17 may be missed by one minor unit: of 99.99 at
    20 % net is 83.33 and tax 16.66, where the rule has 16.67; the sums (BR-CO-13 to 15) hold.
    """
    groups: dict[str, tuple[TaxCategory, list[Decimal]]] = {}
    for category, amount in taxed:
        groups.setdefault(category.code, (category, []))[1].append(amount)
    return tuple(
        _tax_line(category, _bases(amounts, rounding), holding_tax, currency)
        for category, amounts in groups.values()
    )


def _bases(amounts: list[Decimal], rounding: TaxRounding) -> list[Decimal]:
    match rounding:
        case "per line":
            return amounts
        case "per category":
            return [sum(amounts, Decimal(0))]
        case _:
            assert_never(rounding)


def _tax_line(category: TaxCategory, bases: list[Decimal], holding_tax: bool, currency: str) -> TaxLine:
    whole = sum(bases, Decimal(0))
    if holding_tax:
        net = sum((net_from_gross(base, category.percent, currency) for base in bases), Decimal(0))
        tax = whole - net
    else:
        net = whole
        tax = sum((with_tax(base, category.percent, currency) - base for base in bases), Decimal(0))
    return TaxLine(category.code, category.text, category.percent, net, tax)


def with_tax(net: Decimal, percent: Decimal, currency: str) -> Decimal:
    """`net`, of whole minor units, and the tax on it, rounded once."""
    return net + round_money(net * percent / 100, currency)


def net_from_gross(gross: Decimal, percent: Decimal, currency: str) -> Decimal:
    """The net inside `gross` (reverse percentage), gross ÷ (1 + rate), rounded once; the tax inside is gross
    − net."""
    return round_money(gross * 100 / (100 + percent), currency)
