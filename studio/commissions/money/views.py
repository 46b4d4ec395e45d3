"""Where the money goes, on a page that prints as the studio's annex; and old rates beside new ones."""

from django.http import HttpResponse
from django.shortcuts import redirect, render

from studio.commissions.access import get_option_or_404
from studio.commissions.closed import is_closed
from studio.commissions.money.page import money_of, old_and_new
from studio.commissions.option_set import options_of
from studio.commissions.rates_words import old_rates, rates_words
from studio.forms import tell
from studio.people.audience import StudioRequest, audience
from studio.problem import Refused
from studio.workshop.books import current_book, the_studio, voice_of
from studio.workshop.clock import today

__all__ = ["compare_rates", "money"]


@audience("designer", "GET")
def money(request: StudioRequest, public_id: str, letter: str) -> HttpResponse:
    found = get_option_or_404(public_id, letter)
    options, _removed = options_of(found.commission)
    voice = voice_of(the_studio(), found.currency)
    try:
        shown = money_of(found, options, voice, today())
    except Refused as refused:
        return _without_price(request, public_id, letter, refused)
    price = shown.found.price
    page = {
        "commission": found.commission, "option": found, "money": shown, "voice": voice, "on": today(),
        "one_price": price.net == price.gross,
    }  # fmt: skip
    return render(request, "commissions/money/money.html", page)


@audience("designer", "GET")
def compare_rates(request: StudioRequest, public_id: str, letter: str) -> HttpResponse:
    """What a change to the rates of the day would do, before it is done."""
    found = get_option_or_404(public_id, letter)
    studio, (revision, book) = the_studio(), current_book(today())
    voice, new_voice = voice_of(studio, found.currency), voice_of(studio, book.currency)
    if not old_rates(found, revision, voice):
        return redirect("option", public_id, found.letter)
    try:
        pairs = old_and_new(found, today(), voice, new_voice)
    except Refused as refused:
        return _without_price(request, public_id, letter, refused)
    page = {
        "commission": found.commission, "option": found, "pairs": pairs,
        "old": rates_words(found.rate_book, voice), "new": rates_words(revision, new_voice),
        "closed": is_closed(found.commission),
    }  # fmt: skip
    return render(request, "commissions/money/rates.html", page)


def _without_price(request: StudioRequest, public_id: str, letter: str, refused: Refused) -> HttpResponse:
    tell(request, refused, voice_of(the_studio()))
    return redirect("option", public_id, letter)
