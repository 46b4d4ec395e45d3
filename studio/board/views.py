"""The first page: every commission, where it stands, what comes next."""

from datetime import date

from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone

from studio.board.bookings import bookings_shown
from studio.board.overview import Card, overview
from studio.jobs.standstill import lacking
from studio.letters.settling import need_a_look
from studio.people.audience import StudioRequest, audience
from studio.proposals.coming import unanswered
from studio.workshop.books import the_studio, voice_of
from studio.workshop.clock import today


@audience("workshop", "GET")
def board(request: StudioRequest) -> HttpResponse:
    """The first page after signing in; the workshop's own is its calendar, for the board shows prices."""
    if not request.user.is_designer:
        return redirect("workshop-calendar")
    sought = request.GET.get("q", "").strip()[:200]
    studio = the_studio()
    jobs = bookings_shown(voice_of(studio), today())
    stages = overview(sought, voice_of(studio), today(), jobs)
    sold = [card for stage in stages for card in stage.cards if card.due and card.commission.due_on]
    context = {
        "studio": studio,
        "overdue": [card for card in sold if card.overdue],
        "due_next": min((card for card in sold if not card.overdue), key=_due, default=None),
        "gone": jobs.gone,
        "lacking": list(lacking()),
        "unanswered": unanswered(today()).count(),
        "stages": stages,
        "sought": sought,
        "any": any(stage.cards for stage in stages),
        "letters": need_a_look(timezone.now()).count(),
    }
    return render(request, "board/board.html", context)


def _due(card: Card) -> date:
    return card.commission.due_on or date.max
