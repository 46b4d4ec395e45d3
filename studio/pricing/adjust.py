"""The lines between cost and net: margin, shares, minimum charge, discount, rounding."""

from decimal import Decimal

from studio.money import round_money
from studio.pricing.asked import Asked
from studio.pricing.check import shares_percent
from studio.pricing.rate_book import RateBook
from studio.pricing.rates import plain, rate_input
from studio.pricing.sheet import Group, Input, PriceLine, Working
from studio.pricing.terms import Terms

__all__ = ["adjustments"]


def adjustments(
    cost: Decimal, made: Asked, net: Decimal, book: RateBook, terms: Terms
) -> tuple[tuple[PriceLine, ...], Decimal]:
    """The lines that lead from cost to net, and the margin that is left after all of them.

    Shares are of the final net, so the margin line is the target price less cost and those shares; minimum
    charge, discount and rounding then add to the margin or eat it.
    """
    shares = _shares(net, book, terms)
    taken = sum((line.amount for line in shares), Decimal(0))
    margin = _margin(cost, made.target, taken, book, terms)
    rest = (_top_up(made, book), _discount(made, book, terms), _rounding(made, net, book, terms))
    lines = (margin, *shares, *(line for line in rest if line.amount))
    return lines, net - cost - taken


def _line(code: str, text: str, group: Group, amount: Decimal, formula: str, *inputs: Input) -> PriceLine:
    return PriceLine(code, text, group, Decimal(1), "", amount, amount, Working(formula, inputs))


def _money(name: str, amount: Decimal, book: RateBook) -> Input:
    return Input(name, f"{amount} {book.currency}", "computed")


def _margin(cost: Decimal, target: Decimal, taken: Decimal, book: RateBook, terms: Terms) -> PriceLine:
    target_by = "cost ÷ (1 − margin − shares of the price)"
    if book.basis == "markup":
        target_by = "cost × (1 + markup) ÷ (1 − shares of the price)"
    return _line(
        "margin",
        "Margin at target price",
        "margin",
        target - cost - taken,
        f"target price − cost − shares taken; target price = {target_by}",
        _money("target price", target, book),
        _money("cost", cost, book),
        _money("shares taken", taken, book),
        rate_input(book, "price", book.basis, book.basis_percent, "%"),
        rate_input(book, "price", "shares of the price", shares_percent(book, terms), "%"),
    )


def _shares(net: Decimal, book: RateBook, terms: Terms) -> tuple[PriceLine, ...]:
    referral = book.referral_percent if terms.referral else Decimal(0)
    return tuple(
        _share(code, text, percent, net, book)
        for code, text, percent in (
            ("referral", "Referral commission", referral),
            ("card", "Card fees", book.card_percent),
        )
        if percent
    )


def _share(code: str, text: str, percent: Decimal, net: Decimal, book: RateBook) -> PriceLine:
    amount = round_money(net * percent / 100, book.currency)
    share = rate_input(book, "price", "share", percent, "%")
    return _line(code, text, "shares", amount, "net price × share", _money("net price", net, book), share)


def _top_up(made: Asked, book: RateBook) -> PriceLine:
    return _line(
        "minimum",
        "Up to the minimum charge",
        "adjustment",
        made.top_up,
        "minimum charge − target price",
        rate_input(book, "price", "minimum charge", book.minimum_charge, book.currency),
        _money("target price", made.target, book),
    )


def _discount(made: Asked, book: RateBook, terms: Terms) -> PriceLine:
    given, price = terms.discount, _money("price", made.target + made.top_up, book)
    if given is None:
        return _line("discount", "Discount", "adjustment", Decimal(0), "none")
    if given.kind == "percent":
        formula, value = "−(price × discount)", Input("discount", f"{plain(given.value)} %", "brief")
    else:
        formula, value = "−discount", Input("discount", f"{plain(given.value)} {book.currency}", "brief")
    return _line("discount", f"Discount: {given.reason}", "adjustment", -made.off, formula, price, value)


def _rounding(made: Asked, net: Decimal, book: RateBook, terms: Terms) -> PriceLine:
    """See `rounding.net_for_gross` for a gross figure that no net gives."""
    figure = "gross" if terms.client_kind == "consumer" else "net"
    way = "up" if book.rounding_way == "up" else "to the nearest"
    return _line(
        "rounding",
        "Rounding",
        "adjustment",
        net - made.asked,
        f"net price with {figure} rounded {way} step − net price before rounding",
        _money("net price before rounding", made.asked, book),
        _money("net price", net, book),
        rate_input(book, "price", "step", book.rounding_step, book.currency),
    )
