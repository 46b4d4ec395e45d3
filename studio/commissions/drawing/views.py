"""Drawings of an option at addresses of their own."""

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse

from studio.commissions.access import get_option_or_404
from studio.commissions.estimating import brief_of
from studio.commissions.models import Option
from studio.drawing.drawing_sheet import drawing_sheet_svg
from studio.drawing.thumbnail import thumbnail_svg
from studio.drawing.title_block import TitleBlock
from studio.lattice.composition import Composition, compose
from studio.lattice.fit import best_fit
from studio.people.audience import audience
from studio.problem import Refused
from studio.workshop.books import book_of, the_studio, voice_of
from studio.workshop.clock import today
from studio.workshop.models import Studio

__all__ = ["elevation", "thumbnail"]

Draw = Callable[[Composition, dict[str, str]], str]
EMPTY = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 4 3"><title>No drawing yet</title></svg>'


@audience("designer", "GET")
def elevation(request: HttpRequest, public_id: str, letter: str) -> HttpResponse:
    """A sheet of the studio's paper with a title block, to its scale when it is printed at full size."""
    found = get_option_or_404(public_id, letter)
    studio = the_studio()
    block, voice = _title_block(found, studio), voice_of(studio)
    return _svg(
        request,
        found,
        lambda made, colours: drawing_sheet_svg(
            made, colours, block, paper=studio.paper, voice=voice, ident="elevation"
        ),
    )


@audience("designer", "GET")
def thumbnail(request: HttpRequest, public_id: str, letter: str) -> HttpResponse:
    """With its revision in the address, so that a browser may keep it."""
    found = get_option_or_404(public_id, letter)
    title = f"Option {found.letter}"
    return _svg(
        request, found, lambda made, colours: thumbnail_svg(made, colours, title=title, ident="thumbnail")
    )


def _title_block(option: Option, studio: Studio) -> TitleBlock:
    """What belongs to the commission is named; a number and an issue are a proposal's, which this is not."""
    commission = option.commission
    client = commission.client
    return TitleBlock(
        studio=studio.name,
        client=client.name if client and not client.erased_at else "",
        space=commission.space.name,
        title=commission.title,
        shows=f"Front elevation, option {option.letter}",
        number=commission.public_id,
        issue=f"revision {option.revision}",
        date=voice_of(studio).weekday(today()),
    )


def _svg(request: HttpRequest, option: Option, draw: Draw) -> HttpResponse:
    try:
        brief, colours = brief_of(option), book_of(option.rate_book).colours
        text = draw(compose(brief.design, best_fit(brief.design, brief.space)), colours)
    except Refused:
        text = EMPTY
    kept = request.GET.get("revision") == str(option.revision)
    cache = "private, max-age=86400" if kept else "private, no-cache"
    return HttpResponse(text, content_type="image/svg+xml; charset=utf-8", headers={"Cache-Control": cache})
