"""The lines between cost and net: margin, shares, minimum charge, discount, rounding."""

from collections.abc import Mapping, Sequence
from decimal import Decimal

from studio.money import minor_digits, round_money
from studio.pricing.asked import Asked, target_price
from studio.pricing.check import shares_percent
from studio.pricing.rate_book import RateBook
from studio.pricing.rates import plain, rate_input, to_places
from studio.pricing.sheet import Group, Input, PriceLine, TaxLine, Working
from studio.pricing.tax import is_untaxed
from studio.pricing.terms import Discount, Terms

__all__ = ["adjustments"]


def adjustments(
    costs: Mapping[Decimal, Decimal],
    made: Asked,
    off: Sequence[TaxLine],
    net: Decimal,
    tax: Decimal,
    book: RateBook,
    terms: Terms,
) -> tuple[tuple[PriceLine, ...], Decimal]:
    """The lines that lead from cost (by the rate of tax on it, in per cent) to net, and the margin that is
    left after all of them. `off` is the discount by tax category.

    Commission is of the final net and card fees of the final gross, so the margin line is the target price
    less cost and those; minimum charge, discount and rounding then add to the margin or eat it.
    """
    cost, shares = sum(costs.values(), Decimal(0)), _shares(net, tax, book, terms)
    taken = sum((line.amount for line in shares), Decimal(0))
    before = made.target + made.top_up + sum((line.net for line in off), Decimal(0))
    margin = _margin(costs, made.target, taken, book, terms)
    rest = (_top_up(made, book), _discount(made, off, book, terms), _rounding(before, net, book, terms))
    lines = (margin, *shares, *(line for line in rest if line.amount))
    return lines, net - cost - taken


def _line(code: str, text: str, group: Group, amount: Decimal, formula: str, *inputs: Input) -> PriceLine:
    return PriceLine(code, text, group, Decimal(1), "", amount, amount, Working(formula, inputs))


def _money(name: str, amount: Decimal, book: RateBook) -> Input:
    return Input(name, f"{amount} {book.currency}", "computed")


def _margin(
    costs: Mapping[Decimal, Decimal], target: Decimal, taken: Decimal, book: RateBook, terms: Terms
) -> PriceLine:
    cost = sum(costs.values(), Decimal(0))
    costs = costs if book.card_percent else {Decimal(0): cost}
    target_by, inputs = _target(costs, book, terms)
    if left := target - _by_rule(costs, book, terms):
        target_by += " + rounding of its parts"
        inputs = *inputs, _money("rounding of its parts", left, book)
    return _line(
        "margin",
        "Margin at target price",
        "margin",
        target - cost - taken,
        f"target price − cost − shares taken; target price = {target_by}",
        _money("target price", target, book),
        _money("cost", cost, book),
        _money("shares taken", taken, book),
        *inputs,
    )


def _by_rule(costs: Mapping[Decimal, Decimal], book: RateBook, terms: Terms) -> Decimal:
    """The target price of the costs by rate of tax, rounded once; what is asked is rounded by heading."""
    prices = (
        target_price(cost, book.basis, book.basis_percent, shares_percent(book, terms, percent))
        for percent, cost in costs.items()
    )
    return round_money(sum(prices, Decimal(0)), book.currency)


def _target(costs: Mapping[Decimal, Decimal], book: RateBook, terms: Terms) -> tuple[str, tuple[Input, ...]]:
    """The rule for the target price with its inputs: summed over the rates of tax, on which card fees lie."""
    inputs, taken = [rate_input(book, "price", book.basis, book.basis_percent, "%")], ""
    if terms.referral and book.referral_percent:
        inputs.append(rate_input(book, "price", "commission", book.referral_percent, "%"))
        taken = " − commission"
    untaxed = is_untaxed(book, terms)
    if book.card_percent:
        inputs.append(rate_input(book, "price", "card fees", book.card_percent, "%"))
        taken += " − card fees" if untaxed else " − card fees × (1 + tax{at})"
    rule = f"cost{{at}} ÷ (1 − margin{taken})"
    if book.basis == "markup":
        rule = f"cost{{at}} × (1 + markup) ÷ (1{taken})"
    ats = [f" at {plain(percent)} %" if len(costs) > 1 else "" for percent in costs]
    for at, (percent, cost) in zip(ats, costs.items(), strict=True):
        if at:
            inputs.append(_money(f"cost{at}", cost, book))
        if book.card_percent and not untaxed:
            inputs.append(rate_input(book, "tax", f"tax{at}", percent, "%"))
    return " + ".join(rule.format(at=at) for at in ats), tuple(inputs)


def _shares(net: Decimal, tax: Decimal, book: RateBook, terms: Terms) -> tuple[PriceLine, ...]:
    referral, untaxed = book.referral_percent if terms.referral else Decimal(0), is_untaxed(book, terms)
    return tuple(
        _share(code, text, percent, named, amount, book)
        for code, text, percent, named, amount in (
            ("referral", "Referral commission", referral, "price" if untaxed else "net price", net),
            ("card", "Card fees", book.card_percent, "price" if untaxed else "gross price", net + tax),
        )
        if percent
    )


def _share(code: str, text: str, percent: Decimal, of: str, whole: Decimal, book: RateBook) -> PriceLine:
    amount = round_money(whole * percent / 100, book.currency)
    share = rate_input(book, "price", "share", percent, "%")
    return _line(code, text, "shares", amount, f"{of} × share", _money(of, whole, book), share)


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


def _discount(made: Asked, off: Sequence[TaxLine], book: RateBook, terms: Terms) -> PriceLine:
    """Where the gross is the price, a discount is given with its tax, which is taken out of it by
    category."""
    given, amount = terms.discount, sum((part.net for part in off), Decimal(0))
    if given is None:
        return _line("discount", "Discount", "adjustment", Decimal(0), "none")
    text = f"Discount: {given.reason}"
    if terms.gross_first and not is_untaxed(book, terms):
        rates = [part.percent for part in off]
        ats = [
            f" at {plain(part.percent)} %" + (f", {part.text}" if rates.count(part.percent) > 1 else "")
            if len(off) > 1
            else ""
            for part in off
        ]
        inputs = [
            each
            for at, part in zip(ats, off, strict=True)
            for each in (
                _money(f"discount{at} with tax", -part.net - part.tax, book),
                rate_input(book, "tax", f"tax{at}", part.percent, "%"),
            )
        ]
        parts = (f"discount{at} with tax ÷ (1 + tax{at})" for at in ats)
        places = minor_digits(book.currency)
        formula = f"−({' + '.join(to_places(part, places) if len(off) > 1 else part for part in parts)})"
        return _line("discount", text, "adjustment", amount, formula, *inputs, _given(given, book))
    if given.kind == "percent":
        price = _money("price", made.target + made.top_up, book)
        return _line(
            "discount", text, "adjustment", amount, "−(price × discount)", price, _given(given, book)
        )
    return _line("discount", text, "adjustment", amount, "−discount", _given(given, book))


def _given(discount: Discount, book: RateBook) -> Input:
    unit = "%" if discount.kind == "percent" else book.currency
    return Input("discount", f"{plain(discount.value)} {unit}", "brief")


def _rounding(before: Decimal, net: Decimal, book: RateBook, terms: Terms) -> PriceLine:
    """Where the gross is the price, also what taking the tax out of it leaves."""
    ending = book.rounding_ending if terms.client_kind == "consumer" else Decimal(0)
    way = "up to" if book.rounding_way == "up" else "to the nearest"
    least = ", up where that is below the minimum charge" if way != "up to" and book.minimum_charge else ""
    noun = "price" if is_untaxed(book, terms) else "net price"
    first = "gross" if terms.gross_first else "net"
    to = f"{'it' if noun == 'price' else first} is rounded {way} step{' and ending' if ending else ''}{least}"
    return _line(
        "rounding",
        "Rounding",
        "adjustment",
        net - before,
        f"{noun} − {noun} before rounding; {to}",
        _money(f"{noun} before rounding", before, book),
        _money(noun, net, book),
        rate_input(book, "price", "step", book.rounding_step, book.currency),
        *([rate_input(book, "price", "ending", ending, book.currency)] if ending else []),
    )
