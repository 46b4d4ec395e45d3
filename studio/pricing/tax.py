"""Tax on lines that are already rounded, as EN 16931 has it, and net from gross."""

from collections.abc import Iterable
from decimal import Decimal
from typing import Literal, assert_never, get_args

from studio.money import round_money
from studio.pricing.rate_book import Heading, RateBook, TaxCategory
from studio.pricing.sheet import TaxLine
from studio.pricing.terms import Terms

__all__ = ["TaxRounding", "heading_taxes", "mean_percent", "net_from_gross", "tax_lines"]

TaxRounding = Literal["per category", "per line"]


def heading_taxes(book: RateBook, terms: Terms) -> dict[Heading, str]:
    """The code of the tax category of each of the client's headings: the commission's, or where that is the
    rate book's first one the heading's own."""
    own = book.heading_tax if terms.tax == book.tax[0].code else {}
    return {heading: own.get(heading, terms.tax) for heading in get_args(Heading)}


def tax_lines(
    taxed: Iterable[tuple[TaxCategory, Decimal]], rounding: TaxRounding, currency: str
) -> tuple[TaxLine, ...]:
    """One line per category, in order of appearance, from (category, net amount) pairs.

    "per category" rounds the tax on the sum of a category's lines (EN 16931, BR-CO-17); "per line" rounds the
    tax of each line and adds up.
    """
    groups: dict[str, tuple[TaxCategory, list[Decimal]]] = {}
    for category, amount in taxed:
        groups.setdefault(category.code, (category, []))[1].append(amount)
    return tuple(_tax_line(category, amounts, rounding, currency) for category, amounts in groups.values())


def _tax_line(category: TaxCategory, amounts: list[Decimal], rounding: TaxRounding, currency: str) -> TaxLine:
    net = sum(amounts, Decimal(0))
    match rounding:
        case "per line":
            bases = amounts
        case "per category":
            bases = [net]
        case _:
            assert_never(rounding)
    tax = sum((round_money(base * category.percent / 100, currency) for base in bases), Decimal(0))
    return TaxLine(category.code, category.text, category.percent, net, tax)


def mean_percent(taxes: Iterable[TaxLine]) -> Decimal:
    """The rate on the whole net, which is not 0, before any rounding of tax."""
    parts = tuple(taxes)
    taxed = sum((line.net * line.percent for line in parts), Decimal(0))
    return taxed / sum((line.net for line in parts), Decimal(0))


def net_from_gross(gross: Decimal, percent: Decimal, currency: str) -> Decimal:
    """The net inside `gross` (reverse percentage), gross ÷ (1 + rate), rounded once; the tax inside is gross
    − net."""
    return round_money(gross * 100 / (100 + percent), currency)
