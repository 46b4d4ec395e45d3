"""The panel that meets a budget."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render

from studio.commissions.access import get_option_or_404
from studio.commissions.budget.page import MOVES, budget_form, read_budget, searched, take
from studio.commissions.closed import is_closed
from studio.commissions.estimating import Stale
from studio.forms import Form, tell
from studio.people.audience import StudioRequest, audience
from studio.problem import Refused
from studio.workshop.books import the_studio, voice_of
from studio.workshop.clock import today

__all__ = ["budget", "budget_take"]


@audience("designer", "GET")
def budget(request: StudioRequest, public_id: str, letter: str) -> HttpResponse:
    """Asked by address, so that a search can be kept and changes nothing."""
    found = get_option_or_404(public_id, letter)
    asked = "figure" in request.GET
    form, meeting = budget_form(found, dict(_asked(request)) if asked else None), None
    if asked:
        voice = voice_of(the_studio(), found.currency)
        form, meeting = form.attempt(lambda: searched(found, read_budget(form, voice), voice, today()))
    page = {
        "commission": found.commission, "option": found, "form": form, "meeting": meeting, "asked": asked,
        "moves": [(f"may.{index}", text) for index, text in enumerate(MOVES.values())],
        "bases": (("gross", "with tax"), ("net", "without tax")),
        "one_price": found.gross_minor is not None and found.gross_minor == found.net_minor,
        "full": found.commission.options.count() >= 4,
        "closed": is_closed(found.commission),
        "here": request.get_full_path(),
    }  # fmt: skip
    return render(request, "commissions/budget/budget.html", page, status=422 if form.problems else 200)


@audience("designer", "POST")
def budget_take(request: StudioRequest, public_id: str, letter: str) -> HttpResponse:
    found = get_option_or_404(public_id, letter)
    form = Form.posted(request)
    try:
        here = form["here"] == "on"
        made = take(found, form["code"], form.number("revision"), here, request.user, today())
    except Stale:
        messages.warning(request, "Somebody changed this option just now. Look for the budget again.")
        return redirect("option-budget", public_id, letter)
    except Refused as refused:
        tell(request, refused, voice_of(the_studio()))
        return redirect("option-budget", public_id, letter)
    messages.success(request, f"This is option {made.letter} now.")
    return redirect("option", public_id, made.letter)


def _asked(request: StudioRequest) -> dict[str, str]:
    """An unticked box is not sent by a form without its hidden "off"."""
    return {name: str(request.GET.getlist(name)[-1]) for name in request.GET}
