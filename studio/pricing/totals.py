"""How the totals of a price come about: cost, net, tax, gross, deposits and the margin that is left."""

from collections.abc import Iterable, Sequence
from decimal import Decimal

from studio.money import minor_digits, round_money
from studio.pricing.rate_book import RateBook
from studio.pricing.rates import plain, rate_input, to_places
from studio.pricing.sheet import Deposited, Input, PriceSheet, TaxLine, Working
from studio.pricing.terms import Terms

__all__ = ["Total", "totals"]

COST_GROUPS = ("material", "machine", "labour", "bought-in", "reprints", "overhead")
Total = tuple[str, Decimal, Working]
"""What it is, the amount, and its working."""


def totals(sheet: PriceSheet, book: RateBook, terms: Terms) -> tuple[Total, ...]:
    """Every total in the order in which it follows from those before; a person can recompute each."""
    return (
        ("Cost", sheet.cost, _sum(_groups(sheet, COST_GROUPS))),
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


def _groups(sheet: PriceSheet, groups: Iterable[str]) -> list[Input]:
    amounts = sheet.by_group
    return [_money(group, amounts[group], sheet) for group in groups if group in amounts]


def _sum(inputs: Sequence[Input]) -> Working:
    return Working(" + ".join(each.name for each in inputs) or "0", tuple(inputs))


def _net(sheet: PriceSheet) -> Working:
    others = _groups(sheet, (group for group in sheet.by_group if group not in COST_GROUPS))
    return _sum([_money("cost", sheet.cost, sheet), *others])


def _tax(tax: TaxLine, sheet: PriceSheet, book: RateBook) -> Working:
    """EN 16931 rounds the tax on the sum of a category's lines; "per line" rounds each line's. A consumer's
    is taken out of the gross (`tax_lines`)."""
    of, amounts = "net", [tax.net]
    if sheet.lines_with_tax:
        of, amounts = "gross", [tax.net + tax.tax]
    if book.tax_rounding == "per line":
        amounts = [line.amount for line in sheet.client_lines if line.tax == tax.code]
    names = [f"{of} of line {number}" for number, _ in enumerate(amounts, 1)] if len(amounts) > 1 else [of]
    places = minor_digits(sheet.currency)
    rule = "{0} − " + to_places("{0} ÷ (1 + rate)", places)
    if not sheet.lines_with_tax:
        rule = to_places("{0} × rate", places)
    inputs = [_money(name, amount, sheet) for name, amount in zip(names, amounts, strict=True)]
    rate = rate_input(book, "tax", "rate", tax.percent, "%")
    return Working(" + ".join(rule.format(name) for name in names), (*inputs, rate))


def _gross(sheet: PriceSheet) -> Working:
    return Working("net + tax", (_money("net", sheet.net, sheet), _money("tax", sheet.tax, sheet)))


def _deposit(part: Deposited, sheet: PriceSheet, book: RateBook) -> Working:
    """The parts add up by the largest remainder, so one may have a smallest amount more or less."""
    share = round_money(sheet.gross * part.percent / 100, sheet.currency)
    moved = part.gross - share
    formula = to_places("gross × part of the plan", minor_digits(sheet.currency))
    return Working(
        f"{formula}{' + largest remainder' if moved else ''}; of it net and tax",
        (
            _money("gross", sheet.gross, sheet),
            rate_input(book, "deposits", "part of the plan", part.percent, "%"),
            *([_money("largest remainder", moved, sheet)] if moved else []),
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
