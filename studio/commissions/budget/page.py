"""An option and a budget: what was asked, what was found, and one of the findings taken."""

import re
import unicodedata
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from babel.numbers import NumberFormatError, get_currency_symbol, parse_decimal
from django.db import transaction
from django.utils.safestring import SafeString, mark_safe

from studio.commissions.budget.running import MOMENT_S, running
from studio.commissions.closed import refuse_closed
from studio.commissions.estimating import Stale, Surroundings, brief_of, in_currency, save_design, shop_for
from studio.commissions.models import Option
from studio.commissions.option_set import add_option
from studio.commissions.price_first import reads_net_first
from studio.document import parse
from studio.drawing.thumbnail import thumbnail_svg
from studio.estimate.budget import Budget, Finding, Found, given_up
from studio.estimate.moves import MAY_MOVE, Way
from studio.estimate.priced import price_up
from studio.estimate.warnings import not_in_price
from studio.forms import Form
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


CODE = re.compile(r"\b[A-Z]{3}\b")


@dataclass(frozen=True)
class BudgetShown:
    """One finding as it is to be read."""

    code: str
    gives_up: tuple[str, ...]
    price: str
    ready: str
    picture: SafeString
    not_in_price: tuple[str, ...]
    for_all: bool
    """It changes delivery, which all options of the commission share."""


@dataclass(frozen=True)
class Meeting:
    """What was `found` so far, and of that what is to be read; `nearest` once nothing more is looked at."""

    found: Found
    now: str
    findings: tuple[BudgetShown, ...]
    nearest: BudgetShown | None


def budget_form(option: Option, values: dict[str, Any] | None = None) -> Form:
    """As asked; at first everything may move, and the price that the client reads first counts."""
    start = {"figure": "", "basis": "net" if reads_net_first(option.commission) else "gross"}
    ticks = {f"may.{index}": "on" for index in range(len(MAY_MOVE))}
    return Form({**start, **ticks, **(values or {})})


def read_budget(form: Form, voice: Voice) -> Budget:
    """The figure as people of this locale write it, "£1,000" or "1.000,50 €". Raises Refused with the form's
    fields."""
    may = [way for index, way in enumerate(MAY_MOVE) if form[f"may.{index}"] == "on"]
    if not may:
        raise Refused.because("may.0", "nothing may move", "tick at least one thing that may change")
    return parse(
        Budget, {"figure": _figure(form["figure"], voice), "basis": form["basis"] or "gross", "may": may}
    )


def _figure(typed: str, voice: Voice) -> str:
    """What is no amount stays as it was typed, to be refused by that. Raises Refused for one in another
    currency than the option's."""
    text = typed.strip()
    for own in (voice.currency, *_signs(voice)):
        text = text.removeprefix(own).removesuffix(own).strip()
    if any(unicodedata.category(c) == "Sc" for c in text) or CODE.search(text):
        raise Refused.because(
            "figure", "that is another currency", f"an amount in {voice.currency}, as the option is priced"
        )
    with suppress(NumberFormatError):
        return str(parse_decimal(text, locale=voice.locale, strict=True))
    return text


def _signs(voice: Voice) -> tuple[str, ...]:
    """How people of this locale, and those at home with the currency, write it; the longest first."""
    found = {get_currency_symbol(voice.currency, locale) for locale in (voice.locale.replace("-", "_"), "en")}
    signs = {c for sign in found for c in sign if unicodedata.category(c) == "Sc"}
    return tuple(sorted(found | signs, key=lambda sign: (-len(sign), sign)))


def searched(option: Option, budget: Budget, voice: Voice, on: date) -> Meeting:
    """What is found after another moment of looking, with dates for what is listed only. Raises Refused where
    the option has no price."""
    book, shop = book_of(option.rate_book), shop_for(option.commission, on)
    search = running(in_currency(brief_of(option), book), budget, book, shop, on)
    found = search.go_on(MOMENT_S)

    def shown(each: Finding) -> BudgetShown:
        return BudgetShown(
            code=",".join(f"{way}:{level}" for way, level in each.code),
            gives_up=tuple(map(voice.say, each.gives_up)),
            price=voice.money(each.price),
            ready=voice.weekday(search.held_on(each)),
            picture=_picture(each, book, voice),
            not_in_price=tuple(map(voice.say, not_in_price(each.brief, each.priced))),
            for_all="delivery" in {way for way, _ in each.code},
        )

    nearest = shown(found.nearest) if found.over and found.nearest else None
    return Meeting(found, voice.money(found.now), tuple(map(shown, found.findings)), nearest)


def take(option: Option, code: str, revision: int, here: bool, by: User | None, on: date) -> Option:
    """Make a finding an option of its own, or with `here` a change of this one. Raises Refused, or Stale
    where the option is no longer the one of which it was found."""
    refuse_closed(option.commission)
    if option.revision != revision:
        raise Stale(option)
    book = book_of(option.rate_book)
    brief = in_currency(brief_of(option), book)
    wanted = given_up(brief, price_up(brief, book, shop_for(option.commission, on)), _code(code))
    commission = option.commission
    terms = replace(wanted.terms, currency=brief_of(option).terms.currency)
    typed = commission.space.typed_texts
    around = Surroundings(wanted.space, terms, typed, wanted_on=commission.wanted_on)
    with transaction.atomic():
        target = option if here else add_option(option, by, on)
        save_design(target, wanted.design, target.revision, by, on, around)
    return target


def _code(text: str) -> tuple[tuple[Way, int], ...]:
    pairs = [part.partition(":") for part in text.split(",")[: len(MAY_MOVE)]]
    levels = [(way, int(level) if level.isdecimal() and len(level) < 4 else 0) for way, _, level in pairs]
    return tuple(levels)  # type: ignore[arg-type]  # given_up refuses ways that there are not


def _picture(each: Finding, book: RateBook, voice: Voice) -> SafeString:
    code = "-".join(f"{way.replace(' ', '')}{level}" for way, level in each.code)
    title = "; ".join(map(voice.say, each.gives_up))
    text = thumbnail_svg(each.priced.composition, book.colours, title=title, ident=f"t-{code}")
    return mark_safe(text)  # noqa: S308 - the drawing package escapes what it is given
