"""What might come, and slots that are held for it."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render

from studio.commissions.access import get_commission_or_404
from studio.people.audience import audience
from studio.problem import Refused
from studio.proposals.coming import MOST, coming, unanswered
from studio.proposals.holding import hold
from studio.proposals.views import get_issue_or_404, proposal_page, read_day, seen, who_asks
from studio.workshop.books import the_studio, voice_of
from studio.workshop.clock import today

__all__ = ["hold_slot", "job", "might_come"]


@audience("designer", "GET")
def might_come(request: HttpRequest) -> HttpResponse:
    found = coming(today())
    context = {"voice": voice_of(the_studio()), "found": found, "all": unanswered(today()).count()}
    return render(request, "proposals/coming.html", {**context, "others": len(found) - 1, "most": MOST})


@audience("designer", "GET")
def job(request: HttpRequest, source: str) -> HttpResponse:
    """Where a job of the workshop comes from: its source starts with its commission (`jobs_of`)."""
    commission = get_commission_or_404(source.partition("-")[0])
    return redirect("proposals:for_commission", commission.public_id)


@audience("designer", "POST")
def hold_slot(request: HttpRequest, public_id: str) -> HttpResponse:
    issue, post = get_issue_or_404(public_id), request.POST
    try:
        until = None if post.get("let_go") else read_day(post, "until")
        hold(issue, until, seen(post.get("steps", "")), who_asks(request), today())
    except Refused as refused:
        return proposal_page(request, issue.proposal.commission, refused, typed=post)
    voice = voice_of(the_studio())
    told = f"The slot is held until {voice.day(until)}." if until else "The slot is free for others."
    messages.success(request, told)
    return redirect("proposals:for_commission", issue.proposal.commission.public_id)
