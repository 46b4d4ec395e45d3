"""The first page: every commission, where it stands, what comes next."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from studio.board.overview import overview
from studio.workshop.books import the_studio, voice_of
from studio.workshop.clock import today


@require_GET
def board(request: HttpRequest) -> HttpResponse:
    sought = request.GET.get("q", "").strip()[:200]
    studio = the_studio()
    stages = overview(sought, voice_of(studio), today())
    context = {
        "studio": studio,
        "stages": stages,
        "sought": sought,
        "any": any(stage.cards for stage in stages),
    }
    return render(request, "board/board.html", context)
