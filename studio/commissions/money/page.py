"""Where the money of an option goes, how each figure comes about, and what sets it apart from the others."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from studio.commissions.estimating import estimate_option
from studio.commissions.lines_shown import LineShown, inputs_shown, shown_line
from studio.commissions.models import Option
from studio.estimate.compare import Share, compare, money_by_group
from studio.estimate.result import Estimate
from studio.estimate.spreads import PRINTING_SPREAD, printing_spread, spreads_of
from studio.making.shop import ShopState
from studio.pricing.ranges import Left
from studio.pricing.rate_book import RateBook
from studio.pricing.terms import Terms
from studio.pricing.totals import totals
from studio.problem import Refused
from studio.voice import Voice
from studio.workshop.books import book_of, current_book, current_shop

__all__ = ["Money", "Pair", "money_of", "old_and_new"]

CAUSES = {
    "printing": "printing takes longer",
    "labour": "labour takes longer",
    "failures": "more plates fail",
    "all three": "all three together",
}


@dataclass(frozen=True)
class Bar:
    """A group of the net price: `width` is its share of the largest, 0 to 100, for the picture."""

    text: str
    amount: str
    percent: str
    width: str


@dataclass(frozen=True)
class Worse:
    text: str
    more: str
    margin: str
    percent: str
    loss: bool


@dataclass(frozen=True)
class Total:
    text: str
    amount: str
    formula: str
    inputs: tuple[tuple[str, str, str], ...]


@dataclass(frozen=True)
class Other:
    """Another option against this one: "+£212.00", and why."""

    letter: str
    more: str
    reasons: tuple[str, ...]


@dataclass(frozen=True)
class Money:
    price: str
    bars: tuple[Bar, ...]
    others: tuple[Other, ...]
    worse: tuple[Worse, ...]
    lines: tuple[LineShown, ...]
    totals: tuple[Total, ...]
    printing_spread: str
    labour_spread: str
    failed: str


@dataclass(frozen=True)
class Pair:
    """One figure at the old and at the new rates."""

    text: str
    old: str
    new: str
    change: str


def money_of(option: Option, others: list[Option], voice: Voice, on: date) -> Money:
    """Raises Refused where the option has no price; others without one, or in another currency, are left
    out."""
    shop, book = current_shop(), book_of(option.rate_book)
    found = estimate_option(option, on, shop)
    consumer = found.brief.terms.client_kind == "consumer"
    spreads, known = spreads_of(found.plan, book, shop), printing_spread(found.plan, book)[1]
    return Money(
        price=voice.money(found.price.gross if consumer else found.price.net),
        bars=_bars(money_by_group(found), found.price.net, voice),
        others=tuple(_others(found, option, others, voice, on, shop)),
        worse=tuple(_worse(left, voice) for left in found.margins),
        lines=tuple(shown_line(line, voice) for line in found.price.lines),
        totals=_totals(found, book, found.brief.terms, voice),
        printing_spread=f"{_percent(spreads.printing, voice)}, {_spread_from(known, voice)}",
        labour_spread=_percent(spreads.labour, voice),
        failed=voice.number(spreads.failed_runs, 1),
    )


def old_and_new(option: Option, on: date, voice: Voice, new_voice: Voice) -> tuple[Pair, ...]:
    """An option at its own rates beside the rates of the day, group by group; nothing is saved. Raises
    Refused where it has no price at either."""
    revision, _book = current_book(on)
    old = estimate_option(option, on)
    newer = Option(
        commission=option.commission, design=option.design, rate_book=revision, letter=option.letter
    )
    new = estimate_option(newer, on)
    figures = [
        *(
            (a.text, a.amount, b.amount)
            for a, b in zip(money_by_group(old), money_by_group(new), strict=True)
        ),
        ("net", old.price.net, new.price.net),
        ("gross", old.price.gross, new.price.gross),
    ]
    alike = voice.currency == new_voice.currency
    return tuple(
        Pair(
            f"{text[0].upper()}{text[1:]}",
            voice.money(was),
            new_voice.money(now),
            voice.difference(now - was) if alike and now != was else "",
        )
        for text, was, now in figures
        if was or now
    )


def _spread_from(known: float, voice: Voice) -> str:
    if known <= 0:
        return "our own judgement until you have measured plates"
    judged = (
        ""
        if known > 0.999
        else f", and our own {voice.percent(100 * PRINTING_SPREAD, 0)} where none are measured"
    )
    return f"as your own plates show{judged}"


def _percent(share: float, voice: Voice) -> str:
    return voice.percent(100 * share, 1)


def _bars(shares: tuple[Share, ...], net: Decimal, voice: Voice) -> tuple[Bar, ...]:
    largest = max((abs(share.amount) for share in shares), default=Decimal(0)) or Decimal(1)
    return tuple(
        Bar(
            text=f"{share.text[0].upper()}{share.text[1:]}",
            amount=voice.money(share.amount),
            percent=voice.number(100 * share.amount / net, 1) if net else "0",
            width=f"{max(Decimal(0), 100 * share.amount / largest):.1f}",
        )
        for share in shares
        if share.amount
    )


def _others(
    found: Estimate, option: Option, others: list[Option], voice: Voice, on: date, shop: ShopState
) -> list[Other]:
    shown = []
    for other in others:
        if other.pk == option.pk or other.currency != option.currency:
            continue
        try:
            compared = compare(found, estimate_option(other, on, shop))
        except Refused:
            continue
        more = voice.difference(compared.more) if compared.more else "the same price"
        shown.append(Other(other.letter, more, tuple(map(voice.say, compared.reasons))))
    return shown


def _worse(left: Left, voice: Voice) -> Worse:
    return Worse(
        text=CAUSES[left.cause],
        more=voice.money(left.more),
        margin=voice.money(left.margin),
        percent=voice.number(left.percent, 1),
        loss=left.margin < 0,
    )


def _totals(found: Estimate, book: RateBook, terms: Terms, voice: Voice) -> tuple[Total, ...]:
    return tuple(
        Total(
            text,
            voice.money(amount),
            working.formula,
            inputs_shown(working, voice),
        )
        for text, amount, working in totals(found.price, book, terms)
    )
