"""What a sold job waits for (deposit, colours), the final day that follows, and the release."""

from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone

from studio.commissions.access import get_commission_or_404
from studio.commissions.closed import is_varied
from studio.commissions.models import Commission
from studio.document import parse
from studio.forms import Form, flat, form_page
from studio.jobs.facts import Approval, Facts, approve_colours, facts_of, final_told, take_back_colours
from studio.jobs.models import ColoursApproved
from studio.jobs.releasing import Released, final_words, release_sold
from studio.jobs.standstill import stands_still, stop_or_go
from studio.letters.shown import shown
from studio.people.audience import StudioRequest, audience
from studio.proposals.job_letters import about_jobs
from studio.proposals.models import Decision
from studio.proposals.refit import untaped
from studio.proposals.stored import read
from studio.proposals.views import get_sold_or_404
from studio.workshop.books import the_studio, voice_of
from studio.workshop.clock import today

__all__ = ["colours", "release", "standstill", "start", "take_back"]


@audience("designer", "GET")
def start(request: StudioRequest, public_id: str) -> HttpResponse:
    return _page(request, get_commission_or_404(public_id))


@audience("designer", "POST")
def colours(request: StudioRequest, public_id: str) -> HttpResponse:
    def approve(commission: Commission, posted: Form) -> str:
        given = parse(Approval, posted.document("colours."))
        yes = get_sold_or_404(commission)
        approve_colours(yes, given, request.user, timezone.now())
        told = final_told(yes, voice_of(the_studio()))
        return f"That the colours are approved is written down. {told}".strip()

    return _done(request, public_id, "colours", approve)


@audience("designer", "POST")
def take_back(request: StudioRequest, public_id: str) -> HttpResponse:
    found = ColoursApproved.objects.select_related("decision__issue__proposal__commission")
    row = get_object_or_404(found, public_id=public_id, takes_back=None)
    take_back_colours(row, request.user, timezone.now())
    messages.success(request, "That the colours were approved is taken back.")
    return redirect("jobs:start", row.decision.issue.proposal.commission.public_id)


@audience("designer", "POST")
def release(request: StudioRequest, public_id: str) -> HttpResponse:
    def hand_over(commission: Commission, posted: Form) -> str:
        given = parse(Released, posted.document("release."))
        release_sold(commission, given, request.user, timezone.now())
        return "The work is released."

    return _done(request, public_id, "release", hand_over)


@audience("designer", "POST")
def standstill(request: StudioRequest, public_id: str) -> HttpResponse:
    def act(commission: Commission, posted: Form) -> str:
        stops = posted["stops"] == "yes"
        stop_or_go(get_sold_or_404(commission), stops, request.user, timezone.now())
        return "The work stands still." if stops else "The work goes on."

    return _done(request, public_id, "standstill", act)


def _done(
    request: StudioRequest, public_id: str, fields: str, act: Callable[[Commission, Form], str]
) -> HttpResponse:
    commission, posted = get_commission_or_404(public_id), Form.posted(request)
    form, told = posted.attempt(lambda: act(commission, posted), fields)
    if told is None:
        return _page(request, get_commission_or_404(public_id), form)
    messages.success(request, told)
    return redirect("jobs:start", public_id)


def _page(request: StudioRequest, commission: Commission, form: Form | None = None) -> HttpResponse:
    yes = get_sold_or_404(commission)
    facts, stored, now = facts_of(yes), read(yes.issue), timezone.now()
    first = _first(yes, facts, final_words(yes, facts, stored))
    typed, problems = (form.values, form.problems) if form else ({}, ())
    shown_form = Form({**first, **typed, **_asked(yes, facts)}, problems)
    context: dict[str, Any] = {
        "voice": voice_of(the_studio(), yes.currency),
        "commission": commission,
        "yes": yes,
        "facts": facts,
        "moved": facts.final_on and yes.agreed_on and facts.final_on != yes.agreed_on,
        "hows": ColoursApproved.How.choices,
        "released": getattr(yes, "release", None),
        "still": stands_still(yes),
        "untaped": untaped(yes, stored),
        "taping": getattr(yes, "taping", None),
        "open": commission.stage in (Commission.Stage.APPROVED, Commission.Stage.MAKING),
        "varied": is_varied(commission),
        "letters": shown(about_jobs([yes.issue]), now),
        "email": "" if yes.issue.client.erased_at else yes.issue.client.email,
    }
    return form_page(request, "jobs/start.html", shown_form, **context)


def _first(yes: Decision, facts: Facts, words: str) -> dict[str, str]:
    final_on = facts.final_on or yes.agreed_on
    return flat(
        {
            "colours": {"approved_on": today().isoformat(), "who": "", "how": "samples"},
            "release": {
                "final_on": final_on.isoformat() if final_on else "",
                "heard": "",
                "words": words,
                "anyway": "off",
            },
        }
    )


def _asked(yes: Decision, facts: Facts) -> dict[str, str]:
    """What stands now, whatever a page showed before."""
    sold = yes.issue.public_id
    return {"release.seen": facts.seen, "release.sold": sold, "colours.sold": sold}
