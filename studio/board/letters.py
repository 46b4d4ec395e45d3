"""The outbox: what was written to whom, what became of it, and what a person has to decide."""

from collections.abc import Sequence
from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone

from studio.forms import status_of
from studio.letters.models import Letter
from studio.letters.settling import need_a_look, settle
from studio.letters.shown import shown
from studio.people.audience import StudioRequest, audience
from studio.problem import Problem, Refused

__all__ = ["NEWEST", "letters", "settle_letter"]

NEWEST = 100


@audience("designer", "GET")
def letters(request: StudioRequest) -> HttpResponse:
    return _page(request)


@audience("designer", "POST")
def settle_letter(request: StudioRequest, public_id: UUID) -> HttpResponse:
    letter = get_object_or_404(Letter, public_id=public_id)
    try:
        settle(
            letter,
            request.POST.get("decision", ""),
            request.POST.get("seen", ""),
            request.user,
            timezone.now(),
        )
    except Refused as refused:
        return _page(request, refused.problems)
    letter.refresh_from_db()
    messages.success(request, f"Written down. The letter is now: {letter.get_state_display()}.")
    return redirect("board:letters")


def _page(request: StudioRequest, problems: Sequence[Problem] = ()) -> HttpResponse:
    now = timezone.now()
    listed = Letter.objects.select_related("settled_by").defer("body").order_by("-pk")
    wanting = listed.filter(pk__in=need_a_look(now).values("pk"))
    others = listed.exclude(pk__in=need_a_look(now).values("pk"))[: NEWEST + 1]
    context = {
        "wanting": shown(wanting, now),
        "others": shown(others, now)[:NEWEST],
        "more": len(others) > NEWEST,
        "newest": NEWEST,
        "problems": problems,
    }
    return render(request, "board/letters.html", context, status=status_of(problems))
