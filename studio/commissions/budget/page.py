"""An option and a budget: what was asked, what was found, and one of the findings taken."""

import unicodedata
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from babel.numbers import NumberFormatError, parse_decimal
from django.db import transaction
from django.utils.safestring import SafeString, mark_safe

from studio.commissions.closed import refuse_closed
from studio.commissions.estimating import Stale, Surroundings, brief_of, save_design, shop_for
from studio.commissions.models import Option
from studio.commissions.option_set import add_option
from studio.commissions.price_first import reads_net_first
from studio.document import parse
from studio.drawing.thumbnail import thumbnail_svg
from studio.estimate.brief import Brief
from studio.estimate.budget import Budget, Finding, given_up, search
from studio.estimate.dates import dates_of
from studio.estimate.moves import MAY_MOVE, Way
from studio.estimate.priced import Made, Priced, price_up
from studio.forms import Form
from studio.making.shop import ShopState
from studio.people.models import User
from studio.pricing.rate_book import RateBook
from studio.problem import Refused
from studio.voice import Voice
from studio.workshop.books import book_of

__all__ = ["Meeting", "budget_form", "read_budget", "searched", "take"]

MOVES: dict[Way, str] = {
    "cell side": "larger cells",
    "size": "a smaller size",
    "density": "sparser patterns",
    "colours": "fewer colours",
    "depth": "less depth",
    "backing": "no backing",
    "light": "no light",
    "delivery": "less delivery and hanging",
}


@dataclass(frozen=True)
class BudgetShown:
    """One finding as it is to be read."""

    code: str
    gives_up: tuple[str, ...]
    price: str
    ready: str
    picture: SafeString
    for_all: bool
    """It changes delivery, which all options of the commission share."""


@dataclass(frozen=True)
class Meeting:
    now: str
    as_it_is: bool
    findings: tuple[BudgetShown, ...]
    nearest: BudgetShown | None


def budget_form(option: Option, values: dict[str, Any] | None = None) -> Form:
    """As asked; at first everything may move, and the price that the client reads first counts."""
    start = {"figure": "", "basis": "net" if reads_net_first(option.commission) else "gross"}
    ticks = {f"may.{index}": "on" for index in range(len(MAY_MOVE))}
    return Form({**start, **ticks, **(values or {})})


def read_budget(form: Form, locale: str) -> Budget:
    """The figure as people of this locale write it, "£1,000" or "1.000,50 €". Raises Refused with the form's
    fields."""
    may = [way for index, way in enumerate(MAY_MOVE) if form[f"may.{index}"] == "on"]
    if not may:
        raise Refused.because("may.0", "nothing may move", "tick at least one thing that may change")
    return parse(
        Budget, {"figure": _figure(form["figure"], locale), "basis": form["basis"] or "gross", "may": may}
    )


def _figure(typed: str, locale: str) -> str:
    """What is no amount stays as it was typed, to be refused by that."""
    text = "".join(c for c in typed.strip() if unicodedata.category(c) != "Sc").strip()
    with suppress(NumberFormatError):
        return str(parse_decimal(text, locale=locale, strict=True))
    return text


def searched(option: Option, budget: Budget, voice: Voice, on: date) -> Meeting:
    """What meets the budget, with dates for what is listed only. Raises Refused where the option has no
    price."""
    book, shop = book_of(option.rate_book), shop_for(option.commission, on)
    found = search(_brief(option, book), budget, _offers(book, shop))

    def shown(each: Finding) -> BudgetShown:
        ready = dates_of(each.priced, book, shop, on).held_on
        return BudgetShown(
            code=",".join(f"{way}:{level}" for way, level in each.code),
            gives_up=tuple(map(voice.say, each.gives_up)),
            price=voice.money(each.price),
            ready=voice.weekday(ready),
            picture=_picture(each, book, voice),
            for_all="delivery" in {way for way, _ in each.code},
        )

    return Meeting(
        now=voice.money(found.now),
        as_it_is=found.as_it_is,
        findings=tuple(map(shown, found.findings)),
        nearest=shown(found.nearest) if found.nearest else None,
    )


def take(option: Option, code: str, revision: int, here: bool, by: User | None, on: date) -> Option:
    """Make a finding an option of its own, or with `here` a change of this one. Raises Refused, or Stale
    where the option is no longer the one of which it was found."""
    refuse_closed(option.commission)
    if option.revision != revision:
        raise Stale(option)
    book = book_of(option.rate_book)
    brief = _brief(option, book)
    wanted = given_up(brief, price_up(brief, book, shop_for(option.commission, on)), _code(code))
    around = Surroundings(wanted.space, replace(wanted.terms, currency=brief_of(option).terms.currency), {})
    commission = option.commission
    around = replace(around, typed=commission.space.typed_texts, wanted_on=commission.wanted_on)
    with transaction.atomic():
        target = option if here else add_option(option, by, on)
        save_design(target, wanted.design, target.revision, by, on, around)
    return target


def _code(text: str) -> tuple[tuple[Way, int], ...]:
    pairs = [part.partition(":") for part in text.split(",")[: len(MAY_MOVE)]]
    levels = [(way, int(level) if level.isdecimal() and len(level) < 4 else 0) for way, _, level in pairs]
    return tuple(levels)  # type: ignore[arg-type]  # given_up refuses ways that there are not


def _brief(option: Option, book: RateBook) -> Brief:
    brief = brief_of(option)
    return replace(brief, terms=replace(brief.terms, currency=book.currency))


def _offers(book: RateBook, shop: ShopState) -> Any:
    made: Made = {}

    def priced(brief: Brief) -> Priced:
        return price_up(brief, book, shop, made)

    return priced


def _picture(each: Finding, book: RateBook, voice: Voice) -> SafeString:
    code = "-".join(f"{way.replace(' ', '')}{level}" for way, level in each.code)
    title = "; ".join(map(voice.say, each.gives_up))
    text = thumbnail_svg(each.priced.composition, book.colours, title=title, ident=f"t-{code}")
    return mark_safe(text)  # noqa: S308 - the drawing package escapes what it is given
