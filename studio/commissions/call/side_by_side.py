"""The options of a commission side by side, above the call page."""

from datetime import date
from typing import Any

from django.http import Http404

from studio.commissions.closed import is_closed, is_sold
from studio.commissions.difference import difference
from studio.commissions.estimating import dates_now, shop_for
from studio.commissions.models import Commission, Option
from studio.commissions.price_first import main_price
from studio.commissions.rates_words import old_rates
from studio.estimate.result import Estimate
from studio.lattice.design import Design
from studio.making.shop import ShopState
from studio.problem import Refused
from studio.stored.door import Unreadable
from studio.stored.kinds import DESIGN
from studio.workshop.books import voice_of
from studio.workshop.models import RateBookRevision, Studio

__all__ = ["side_by_side"]


def side_by_side(
    option: Option,
    options: list[Option],
    studio: Studio,
    on: date,
    found: Estimate | None,
    newest: RateBookRevision,
) -> list[dict[str, Any]]:
    """A word says how each differs from the first. Dates are today's answer: what a list stored may be days
    old; `found` is the answer for `option`. What is closed has the day of what is sold, and no other."""
    if not options:
        raise Http404
    first, closed = DESIGN.readable(options[0].design), is_closed(option.commission)
    shop = None if closed or len(options) == 1 else _shop(option.commission, on)
    found = None if closed else found
    return [
        {
            "letter": each.letter,
            "revision": each.revision,
            "price": main_price(each, studio),
            "ready": _sold_for(each, studio)
            if closed
            else _ready(each, studio, on, shop)
            if each.pk != option.pk
            else (voice_of(studio).weekday(found.dates.held_on) if found else ""),
            "word": _word(each, first, studio),
            "rates": old_rates(each, newest, voice_of(studio, each.currency)),
            "approved": each.letter == option.commission.approved_letter and closed,
            "here": each.pk == option.pk,
        }
        for each in options
    ]


def _word(option: Option, first: Design | None, studio: Studio) -> str:
    design = DESIGN.readable(option.design)
    if design is None:
        return "cannot be read"
    return difference(design, first, voice_of(studio)) if first else ""


def _shop(commission: Commission, on: date) -> ShopState | None:
    """Asked for once. No day is named without what is promised already."""
    try:
        return shop_for(commission, on)
    except Unreadable:
        return None


def _ready(option: Option, studio: Studio, on: date, shop: ShopState | None) -> str:
    if shop is None:
        return ""
    try:
        return voice_of(studio).weekday(dates_now(option, on, shop).held_on)
    except Refused:
        return ""


def _sold_for(option: Option, studio: Studio) -> str:
    commission = option.commission
    if commission.due_on is None or option.letter != commission.approved_letter or not is_sold(commission):
        return ""
    return voice_of(studio).weekday(commission.due_on)
