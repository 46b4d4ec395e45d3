"""The options of a commission side by side, above the call page."""

from datetime import date
from typing import Any

from babel.dates import format_date
from django.http import Http404

from studio.commissions.closed import is_closed
from studio.commissions.difference import difference
from studio.commissions.estimating import design_of, estimate_option
from studio.commissions.models import Commission, Option
from studio.commissions.price_first import first_minor
from studio.estimate.result import Estimate
from studio.making.shop import ShopState
from studio.problem import Refused
from studio.workshop.books import LONG_AGO, current_shop, units_of
from studio.workshop.house_style import HouseStyle, house_style
from studio.workshop.models import RateBookRevision, Studio

__all__ = ["main_price", "old_rates", "options_of", "rates_words", "strip_of"]


def options_of(commission: Commission) -> tuple[list[Option], list[str]]:
    """The standing options in order of their letters, and under which letters removed ones can come back."""
    every = list(Option.every.filter(commission=commission).select_related("rate_book"))
    for each in every:
        each.commission = commission  # asked for once
    return [each for each in every if not each.removed_at], sorted({o.letter for o in every if o.removed_at})


def strip_of(
    option: Option,
    options: list[Option],
    studio: Studio,
    on: date,
    found: Estimate | None,
    newest: RateBookRevision,
) -> list[dict[str, Any]]:
    """A word says how each differs from the first. Dates are today's answer: what a list stored may be days
    old; `found` is the answer for `option`."""
    if not options:
        raise Http404
    first, shop = design_of(options[0]), current_shop()
    return [
        {
            "letter": each.letter,
            "revision": each.revision,
            "price": main_price(each, studio),
            "ready": _ready(each, studio, on, shop) if each.pk != option.pk else _day(found, studio),
            "word": difference(design_of(each), first, units_of(studio)),
            "rates": old_rates(each, newest, house_style(studio, each.currency)),
            "approved": each.letter == option.commission.approved_letter,
            "here": each.pk == option.pk,
        }
        for each in options
    ]


def main_price(option: Option, studio: Studio) -> str:
    """The price that is shown first, in the currency of the option's rates."""
    minor = first_minor(option)
    return "no price yet" if minor is None else house_style(studio, option.currency).minor(minor)


def old_rates(option: Option, newest: RateBookRevision, style: HouseStyle) -> str:
    """By which rates an option is priced when they are not the newest; what was sold stays at its own."""
    if option.rate_book_id == newest.pk or is_closed(option.commission):
        return ""
    return rates_words(option.rate_book, style)


def rates_words(revision: RateBookRevision, style: HouseStyle) -> str:
    if revision.effective_from == LONG_AGO:
        return "example rates"
    return f"rates of {format_date(revision.effective_from, 'medium', locale=style.locale)}"


def _ready(option: Option, studio: Studio, on: date, shop: ShopState) -> str:
    try:
        return _day(estimate_option(option, on, shop), studio)
    except Refused:
        return ""


def _day(found: Estimate | None, studio: Studio) -> str:
    return house_style(studio, "").day(found.dates.held_on) if found else ""
