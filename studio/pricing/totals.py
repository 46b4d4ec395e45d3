"""How the totals of a price come about: cost, net, tax, gross, deposits and the margin that is left."""

from decimal import Decimal

from studio.pricing.rate_book import RateBook
from studio.pricing.rates import plain, rate_input
from studio.pricing.sheet import Deposited, Input, PriceSheet, TaxLine, Working
from studio.pricing.terms import Terms

__all__ = ["Total", "totals"]

COST_GROUPS = ("material", "machine", "labour", "bought-in", "reprints", "overhead")
Total = tuple[str, Decimal, Working]
"""What it is, the amount, and its working."""


def totals(sheet: PriceSheet, book: RateBook, terms: Terms) -> tuple[Total, ...]:
    """Every total in the order in which it follows from those before; a person can recompute each."""
    return (
        ("Cost", sheet.cost, _sum(sheet, COST_GROUPS, "the cost lines")),
        ("Net", sheet.net, _net(sheet)),
        *((f"{tax.text}, {plain(tax.percent)} %", tax.tax, _tax(tax, sheet, book)) for tax in sheet.taxes),
        ("Gross", sheet.gross, _gross(sheet)),
        *(
            (f"{part.text}, {plain(part.percent)} %", part.gross, _deposit(part, sheet, book))
            for part in sheet.deposits
        ),
        ("Margin left", _left(sheet), _margin(sheet, book, terms)),
    )


def _money(name: str, amount: Decimal, sheet: PriceSheet) -> Input:
    return Input(name, f"{amount} {sheet.currency}", "computed")


def _sum(sheet: PriceSheet, groups: tuple[str, ...], what: str) -> Working:
    amounts = sheet.by_group
    inputs = tuple(_money(group, amounts[group], sheet) for group in groups if group in amounts)
    return Working(f"sum of {what}", inputs)


def _net(sheet: PriceSheet) -> Working:
    amounts = sheet.by_group
    others = tuple(_money(g, amount, sheet) for g, amount in amounts.items() if g not in COST_GROUPS)
    return Working("cost + margin + shares + adjustments", (_money("cost", sheet.cost, sheet), *others))


def _tax(tax: TaxLine, sheet: PriceSheet, book: RateBook) -> Working:
    """EN 16931 rounds the tax on the sum of a category's lines; "per line" rounds each line's. A consumer's
    is taken out of the gross (`tax_lines`)."""
    how = "rounded once" if book.tax_rounding == "per category" else "each line's rounded, then added up"
    rate = rate_input(book, "tax", "rate", tax.percent, "%")
    if sheet.lines_with_tax:
        gross = _money("gross", tax.net + tax.tax, sheet)
        return Working(f"gross in this category − gross ÷ (1 + rate), {how}", (gross, rate))
    return Working(f"net in this category × rate, {how}", (_money("net", tax.net, sheet), rate))


def _gross(sheet: PriceSheet) -> Working:
    return Working("net + tax", (_money("net", sheet.net, sheet), _money("tax", sheet.tax, sheet)))


def _deposit(part: Deposited, sheet: PriceSheet, book: RateBook) -> Working:
    return Working(
        "gross × part of the plan, by largest remainder so that the parts add up; of it net and tax",
        (
            _money("gross", sheet.gross, sheet),
            rate_input(book, "deposits", "part", part.percent, "%"),
            _money("net of it", part.net, sheet),
            _money("tax of it", part.tax, sheet),
            *_by_rate(part, sheet),
        ),
    )


def _by_rate(part: Deposited, sheet: PriceSheet) -> tuple[Input, ...]:
    """The tax of each rate, where there are several."""
    if len(part.taxes) < 2:
        return ()
    return tuple(_money(f"tax at {plain(tax.percent)} %", tax.tax, sheet) for tax in part.taxes)


def _left(sheet: PriceSheet) -> Decimal:
    shares = sheet.by_group.get("shares", Decimal(0))
    return sheet.net - sheet.cost - shares


def _margin(sheet: PriceSheet, book: RateBook, terms: Terms) -> Working:
    """What discount, minimum charge and rounding have made of the margin that was aimed at."""
    return Working(
        "net − cost − shares; in percent of net",
        (
            _money("net", sheet.net, sheet),
            _money("cost", sheet.cost, sheet),
            _money("shares", sheet.by_group.get("shares", Decimal(0)), sheet),
            Input("of net", f"{sheet.margin_percent} %", "computed"),
            rate_input(book, "price", f"{book.basis} aimed at", book.basis_percent, "%"),
            *(
                [Input("discount", f"{plain(terms.discount.value)} ({terms.discount.kind})", "brief")]
                if terms.discount
                else []
            ),
        ),
    )
