"""How the totals of a price come about: cost, net, tax, gross, deposits and the margin that is left."""

from collections.abc import Iterable, Iterator, Sequence
from decimal import Decimal

from studio.money import minor_digits, round_money
from studio.pricing.rate_book import RateBook
from studio.pricing.rates import plain, rate_input, to_places
from studio.pricing.sheet import Deposited, Input, PriceSheet, TaxedPart, TaxLine, Working
from studio.pricing.tax import is_untaxed, tax_bases
from studio.pricing.terms import Terms

__all__ = ["Total", "totals"]

COST_GROUPS = ("material", "machine", "labour", "bought-in", "reprints", "overhead")
Total = tuple[str, Decimal, Working]
"""What it is, the amount, and its working."""


def totals(sheet: PriceSheet, book: RateBook, terms: Terms) -> tuple[Total, ...]:
    """Every total in the order in which it follows from those before; a person can recompute each. Those of
    an untaxed studio speak of no tax."""
    untaxed = is_untaxed(book, terms)
    taxes = [] if untaxed else [total for tax in sheet.taxes for total in _of_tax(tax, sheet, book)]
    return (
        ("Cost", sheet.cost, _sum(_groups(sheet, COST_GROUPS))),
        ("Price" if untaxed else "Net", sheet.net, _net(sheet)),
        *taxes,
        *([] if untaxed else [("Gross", sheet.gross, _gross(sheet))]),
        *(
            (f"{part.text}, {plain(part.percent)} %", part.gross, _deposit(part, sheet, book, untaxed))
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


def _of_tax(tax: TaxLine, sheet: PriceSheet, book: RateBook) -> Iterator[Total]:
    """One total, or one for each of several taxes on one base: added to the net each is on its own; of the
    gross they are taken out together first, and then divided."""
    if sheet.lines_with_tax or not tax.parts:
        yield f"{tax.text}, {plain(tax.percent)} %", tax.tax, _tax(tax, tax.percent, sheet, book)
    for part in tax.parts:
        text = f"{part.text}, {plain(part.percent)} %"
        if sheet.lines_with_tax:
            yield f"of it {text}", part.tax, _divided(part, tax, sheet, book)
        else:
            yield text, part.tax, _tax(tax, part.percent, sheet, book)


def _divided(part: TaxedPart, tax: TaxLine, sheet: PriceSheet, book: RateBook) -> Working:
    share = round_money(tax.tax * part.percent / tax.percent, sheet.currency)
    formula = to_places("taxes together × rate ÷ rates together", minor_digits(sheet.currency))
    moved = part.tax - share
    return Working(
        formula + (" + largest remainder" if moved else ""),
        (
            _money("taxes together", tax.tax, sheet),
            rate_input(book, "tax", "rate", part.percent, "%"),
            rate_input(book, "tax", "rates together", tax.percent, "%"),
            *([_money("largest remainder", moved, sheet)] if moved else []),
        ),
    )


def _tax(tax: TaxLine, percent: Decimal, sheet: PriceSheet, book: RateBook) -> Working:
    """EN 16931 rounds the tax on the sum of a category's lines; "per line" rounds each line's (`tax_bases`).
    Where the gross is the price it is taken out of that."""
    of, by_code = "gross" if sheet.lines_with_tax else "net", {each.code: each for each in book.tax}
    lines = [line.amount for line in sheet.client_lines if line.tax == tax.code]
    amounts = tax_bases(by_code[tax.code], lines, sheet.lines_with_tax, book.tax_rounding, sheet.currency)
    names = [f"{of} of line {number}" for number, _ in enumerate(amounts, 1)] if len(amounts) > 1 else [of]
    places = minor_digits(sheet.currency)
    rule = "{0} − " + to_places("{0} ÷ (1 + rate)", places)
    if not sheet.lines_with_tax:
        rule = to_places("{0} × rate", places)
    inputs = [_money(name, amount, sheet) for name, amount in zip(names, amounts, strict=True)]
    rate = rate_input(book, "tax", "rate", percent, "%")
    return Working(" + ".join(rule.format(name) for name in names), (*inputs, rate))


def _gross(sheet: PriceSheet) -> Working:
    return Working("net + tax", (_money("net", sheet.net, sheet), _money("tax", sheet.tax, sheet)))


def _deposit(part: Deposited, sheet: PriceSheet, book: RateBook, untaxed: bool) -> Working:
    """The parts add up by the largest remainder, so one may have a smallest amount more or less."""
    share = round_money(sheet.gross * part.percent / 100, sheet.currency)
    moved = part.gross - share
    whole = "price" if untaxed else "gross"
    formula = to_places(f"{whole} × part of the plan", minor_digits(sheet.currency))
    own = () if untaxed else (_money("net of it", part.net, sheet), _money("tax of it", part.tax, sheet))
    return Working(
        f"{formula}{' + largest remainder' if moved else ''}{'' if untaxed else '; of it net and tax'}",
        (
            _money(whole, sheet.gross, sheet),
            rate_input(book, "deposits", "part of the plan", part.percent, "%"),
            *([_money("largest remainder", moved, sheet)] if moved else []),
            *own,
            *_by_rate(part, sheet),
        ),
    )


def _by_rate(part: Deposited, sheet: PriceSheet) -> tuple[Input, ...]:
    """The tax of each rate and name, where there are several."""
    named = [(f"tax at {plain(tax.percent)} %", tax.tax) for tax in part.taxes if not tax.parts]
    named += [(f"{each.text}, {plain(each.percent)} %", each.tax) for tax in part.taxes for each in tax.parts]
    return tuple(_money(name, amount, sheet) for name, amount in named) if len(named) > 1 else ()


def _left(sheet: PriceSheet) -> Decimal:
    shares = sheet.by_group.get("shares", Decimal(0))
    return sheet.net - sheet.cost - shares


def _margin(sheet: PriceSheet, book: RateBook, terms: Terms) -> Working:
    """What discount, minimum charge and rounding have made of the margin that was aimed at."""
    net = "price" if is_untaxed(book, terms) else "net"
    return Working(
        f"{net} − cost − shares; in percent of {net}",
        (
            _money(net, sheet.net, sheet),
            _money("cost", sheet.cost, sheet),
            _money("shares", sheet.by_group.get("shares", Decimal(0)), sheet),
            Input(f"of {net}", f"{sheet.margin_percent} %", "computed"),
            rate_input(book, "price", f"{book.basis} aimed at", book.basis_percent, "%"),
            *(
                [Input("discount", f"{plain(terms.discount.value)} ({terms.discount.kind})", "brief")]
                if terms.discount
                else []
            ),
        ),
    )
