"""Where the money of an option goes, how each figure comes about, and what sets it apart from the others."""

from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from studio.commissions.estimating import estimate_option, shop_for
from studio.commissions.models import Option
from studio.estimate.compare import Comparison, Share, compare, money_by_group
from studio.estimate.result import Estimate
from studio.estimate.spreads import PRINTING_SPREAD, printing_spread, spreads_of
from studio.making.shop import ShopState
from studio.pricing.ranges import Left, Spreads
from studio.pricing.sheet import PriceSheet
from studio.pricing.totals import Total, totals
from studio.problem import Refused
from studio.voice import Voice
from studio.workshop.books import book_of, current_book

__all__ = ["Money", "Pair", "money_of", "old_and_new"]

CAUSES = {
    "printing": "printing takes longer",
    "labour": "labour takes longer",
    "failures": "more plates fail",
    "all three": "all three together",
}


@dataclass(frozen=True)
class Money:
    """`bars` are the groups of the net price, each with its part of it and the width of its bar, 0 to 100;
    `others` the other options' letters, with what sets them apart; `worse` what is left by cause."""

    found: Estimate
    price: Decimal
    bars: tuple[tuple[Share, Decimal, str], ...]
    others: tuple[tuple[str, Comparison], ...]
    worse: tuple[tuple[str, Left], ...]
    totals: tuple[Total, ...]
    spreads: Spreads
    spread_is: str


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
    shop, book = shop_for(option.commission, on), book_of(option.rate_book)
    found = estimate_option(option, on, shop)
    gross = found.brief.terms.gross_first
    return Money(
        found=found,
        price=found.price.gross if gross else found.price.net,
        bars=tuple(_bars(money_by_group(found), found.price.net)),
        others=tuple(_others(found, option, others, on, shop)),
        worse=tuple((CAUSES[left.cause], left) for left in found.margins),
        totals=totals(found.price, book, found.brief.terms),
        spreads=spreads_of(found.plan, book, shop),
        spread_is=_spread_from(printing_spread(found.plan, book)[1], voice),
    )


def _prices(old: PriceSheet, new: PriceSheet) -> Iterator[tuple[str, Decimal, Decimal]]:
    """Where there is no tax there is one price."""
    taxed = old.net != old.gross or new.net != new.gross
    yield "net" if taxed else "price", old.net, new.net
    if taxed:
        yield "gross", old.gross, new.gross


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
        *_prices(old.price, new.price),
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


def _bars(shares: tuple[Share, ...], net: Decimal) -> Iterator[tuple[Share, Decimal, str]]:
    largest = max((abs(share.amount) for share in shares), default=Decimal(0)) or Decimal(1)
    for share in shares:
        if share.amount:
            width = max(Decimal(0), 100 * share.amount / largest)
            yield share, 100 * share.amount / net if net else Decimal(0), f"{width:.1f}"


def _others(
    found: Estimate, option: Option, others: list[Option], on: date, shop: ShopState
) -> Iterator[tuple[str, Comparison]]:
    for other in others:
        if other.pk != option.pk and other.currency == option.currency:
            with suppress(Refused):
                yield other.letter, compare(found, estimate_option(other, on, shop))
