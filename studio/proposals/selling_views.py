"""After a yes: begin and end a variation, cancel."""

from collections.abc import Callable
from decimal import Decimal, InvalidOperation

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone

from studio.commissions.access import get_commission_or_404
from studio.commissions.models import Commission
from studio.people.audience import audience
from studio.problem import Refused
from studio.proposals import selling
from studio.proposals.views import proposal_page, who_asks

__all__ = ["begin_variation", "cancel", "end_variation"]


@audience("designer", "POST")
def begin_variation(request: HttpRequest, public_id: str) -> HttpResponse:
    def begin(commission: Commission) -> str:
        made = selling.begin_variation(commission, who_asks(request), timezone.now(), _seen(request))
        return f"Variation {made.number} is open: the options can be changed now."

    return _done(request, public_id, begin)


@audience("designer", "POST")
def end_variation(request: HttpRequest, public_id: str) -> HttpResponse:
    def end(commission: Commission) -> str:
        selling.end_variation(commission, who_asks(request), timezone.now())
        return "The variation is ended, and the options are those that were sold."

    return _done(request, public_id, end)


@audience("designer", "POST")
def cancel(request: HttpRequest, public_id: str) -> HttpResponse:
    def call_off(commission: Commission) -> str:
        post = request.POST
        owed = _amount(post.get("owed", ""))
        who, why = post.get("who_cancels", ""), post.get("why", "")
        selling.cancel(commission, who, why, owed, who_asks(request), timezone.now(), _seen(request))
        return "The commission is cancelled."

    return _done(request, public_id, call_off)


def _done(request: HttpRequest, public_id: str, act: Callable[[Commission], str]) -> HttpResponse:
    commission = get_commission_or_404(public_id)
    try:
        messages.success(request, act(commission))
    except Refused as refused:
        return proposal_page(request, get_commission_or_404(public_id), refused, typed=request.POST)
    return redirect("proposals:for_commission", public_id)


def _seen(request: HttpRequest) -> str:
    return request.POST.get("sold", "")


def _amount(text: str) -> Decimal:
    try:
        found = Decimal(text.strip())
    except InvalidOperation:
        found = Decimal("NaN")
    if not found.is_finite():
        raise Refused.because("owed", f"found {text[:40]!r}", "an amount such as 150.00, or 0")
    return found
