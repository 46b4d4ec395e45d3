"""Tax on rounded lines: added to net ones as EN 16931 has it, taken out of those that hold it."""

from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal
from typing import Literal, assert_never, get_args

from studio.money import round_money, split
from studio.pricing.rate_book import Heading, RateBook, TaxCategory
from studio.pricing.sheet import TaxedPart, TaxLine
from studio.pricing.terms import Terms

__all__ = [
    "TaxRounding", "heading_taxes", "is_untaxed", "net_from_gross", "tax_bases", "tax_lines", "with_tax",
]  # fmt: skip

TaxRounding = Literal["per category", "per line"]


def heading_taxes(book: RateBook, terms: Terms) -> Mapping[Heading, TaxCategory]:
    """The tax category of each of the client's headings: the commission's, or where that is the rate book's
    first one the heading's own. Nobody is registered for a part of a price, so where the studio is untaxed
    every part is."""
    by_code = {category.code: category for category in book.tax}
    own = book.heading_tax if terms.tax == book.tax[0].code and not is_untaxed(book, terms) else {}
    return {heading: by_code[own.get(heading, terms.tax)] for heading in get_args(Heading)}


def is_untaxed(book: RateBook, terms: Terms) -> bool:
    """Whether nothing that is said of the price may speak of tax."""
    return any(each.code == terms.tax and each.treatment == "untaxed" for each in book.tax)


def tax_lines(
    taxed: Iterable[tuple[TaxCategory, Decimal]], holding_tax: bool, rounding: TaxRounding, currency: str
) -> tuple[TaxLine, ...]:
    """One line per category, in order of appearance, from (category, amount) pairs.

    Amounts without tax: "per category" rounds the tax on the sum of a category's lines (EN 16931, BR-CO-17),
    "per line" rounds the tax of each line and adds up. Of several taxes on one base each is rounded on its
    own, and the category's is their sum. Amounts that hold it: the net is taken out of each sum or line,
    rounded once, and the tax is the rest, as retailers do (the "VAT fraction" of the United Kingdom's VAT
    guide, Notice 700; from memory); several taxes divide it by their rates and the largest remainder. There
    BR-CO-17 may be missed by one minor unit: of 99.99 at 20 % net is 83.33 and tax 16.66, where the rule has
    16.67; the sums (BR-CO-13 to 15) hold.
    """
    groups: dict[str, tuple[TaxCategory, list[Decimal]]] = {}
    for category, amount in taxed:
        groups.setdefault(category.code, (category, []))[1].append(amount)
    return tuple(
        _tax_line(
            category, tax_bases(category, amounts, holding_tax, rounding, currency), holding_tax, currency
        )
        for category, amounts in groups.values()
    )


def tax_bases(
    category: TaxCategory,
    amounts: Sequence[Decimal],
    holding_tax: bool,
    rounding: TaxRounding,
    currency: str,
) -> Sequence[Decimal]:
    """What tax is rounded on: the sum, or every line. Lines whose rounding leaves a tax against the sign of
    what is taxed (a discount may: 0.10 less 0.10 in five lines) are taxed as one."""
    whole = [sum(amounts, Decimal(0))]
    match rounding:
        case "per line":
            line = _tax_line(category, amounts, holding_tax, currency)
            taxes = [part.tax for part in line.parts] or [line.tax]
            astray = any(each * whole[0] < 0 or (each and not whole[0]) for each in (*taxes, line.net))
            return whole if astray else amounts
        case "per category":
            return whole
        case _:
            assert_never(rounding)


def _tax_line(category: TaxCategory, bases: Sequence[Decimal], holding_tax: bool, currency: str) -> TaxLine:
    whole = sum(bases, Decimal(0))
    if holding_tax:
        net = sum((net_from_gross(base, category.percent, currency) for base in bases), Decimal(0))
        taxes = split(whole - net, category.percents, currency)
    else:
        net, each = whole, [_taxes(base, category, currency) for base in bases]
        taxes = tuple(sum(column, Decimal(0)) for column in zip(*each, strict=True))
    parts = tuple(
        TaxedPart(part.text, part.percent, tax)
        for part, tax in zip(category.parts, taxes, strict=bool(category.parts))
    )
    tax = sum(taxes, Decimal(0))
    return TaxLine(
        category.code, category.text, category.percent, net, tax, parts, category.treatment, category.reason
    )


def _taxes(net: Decimal, category: TaxCategory, currency: str) -> tuple[Decimal, ...]:
    """Each of a category's taxes on `net`, rounded once."""
    return tuple(round_money(net * percent / 100, currency) for percent in category.percents)


def with_tax(net: Decimal, category: TaxCategory, currency: str) -> Decimal:
    """`net`, of whole minor units, and the taxes on it, each rounded once."""
    return net + sum(_taxes(net, category, currency))


def net_from_gross(gross: Decimal, percent: Decimal, currency: str) -> Decimal:
    """The net inside `gross` (reverse percentage), gross ÷ (1 + rate), rounded once; the tax inside is gross
    − net."""
    return round_money(gross * 100 / (100 + percent), currency)
