"""How an option is made, for the workshop and the studio: plates, dates, filaments, energy."""

from typing import Any

from django.http import HttpResponse
from django.shortcuts import render

from studio.commissions.access import get_option_or_404
from studio.commissions.closed import is_closed
from studio.commissions.estimating import estimate_option, shop_for
from studio.commissions.making.shown import MakingShown
from studio.commissions.models import Option
from studio.people.audience import StudioRequest, audience
from studio.problem import Refused
from studio.workshop.books import book_of, the_studio, voice_of
from studio.workshop.clock import today

__all__ = ["making"]


@audience("designer", "GET")
def making(request: StudioRequest, public_id: str, letter: str) -> HttpResponse:
    """As it would begin today; an option that cannot be made says why."""
    found = get_option_or_404(public_id, letter)
    commission = found.commission
    page = {"option": found, "commission": commission, "closed": is_closed(commission), **_made(found)}
    return render(request, "commissions/making/making.html", page)


def _made(option: Option) -> dict[str, Any]:
    on = today()
    shop, voice = shop_for(option.commission, on), voice_of(the_studio(), option.currency)
    try:
        found = estimate_option(option, on, shop)
    except Refused as refused:
        return {"problems": refused.problems}
    return {"making": MakingShown(found, book_of(option.rate_book), shop, voice), "voice": voice}
