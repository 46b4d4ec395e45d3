"""An option's drilling template: a page that tells of it, and the files."""

from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render

from studio.commissions.access import get_option_or_404
from studio.commissions.drawing.drilling_pdf import template_pdf
from studio.commissions.estimating import estimate_option, shop_for
from studio.commissions.models import Option
from studio.drawing.template_sheet import sheet_svg
from studio.hanging.template import Template, Wall, template_of
from studio.hanging.template_plan import hole_words
from studio.hanging.template_sheets import one_sheet, tiles
from studio.people.audience import audience
from studio.problem import Refused
from studio.voice import Voice
from studio.workshop.books import the_studio, voice_of
from studio.workshop.clock import today

__all__ = ["drilling", "drilling_file"]

FILES = {"a4.pdf": "A4 sheets", "letter.pdf": "Letter sheets", "one.pdf": "one large sheet", "one.svg": "SVG"}


@audience("designer", "GET")
def drilling(request: HttpRequest, public_id: str, letter: str) -> HttpResponse:
    """Where the holes come and what each carries, with links to the sheets."""
    return _page(request, get_option_or_404(public_id, letter))


@audience("designer", "GET")
def drilling_file(request: HttpRequest, public_id: str, letter: str, name: str) -> HttpResponse:
    """At full size; where a sheet cannot be, the page says what would do."""
    option = get_option_or_404(public_id, letter)
    if name not in FILES:
        raise Http404
    try:
        content, kind = _file(_template(option), name, voice_of(the_studio()))
    except Refused as refused:
        return _page(request, option, refused)
    headers = {"Content-Disposition": f'inline; filename="drilling-{public_id}-{letter}-{name}"'}
    return HttpResponse(content, content_type=kind, headers=headers)


def _file(template: Template, name: str, voice: Voice) -> tuple[bytes, str]:
    if name == "one.svg":
        return sheet_svg(one_sheet(template, voice)).encode(), "image/svg+xml; charset=utf-8"
    if name == "one.pdf":
        return template_pdf([one_sheet(template, voice)]), "application/pdf"
    return template_pdf(tiles(template, "A4" if name == "a4.pdf" else "letter", voice)), "application/pdf"


def _template(option: Option) -> Template:
    """The rule of where cables run is that of the studio's country. Raises Refused where nothing hangs by the
    rate book's hangers."""
    on = today()
    found = estimate_option(option, on, shop_for(option.commission, on))
    if found.hanging is None:
        reason = "nothing says where this panel hangs"
        remedy = "a panel on a wall, priced by rates that list hangers"
        raise Refused.because("rate_book.hangers", reason, remedy)
    country = voice_of(the_studio()).locale[-2:]
    return template_of(found.hanging, found.bill.fit.lattice_width_mm, Wall(country=country))


def _page(request: HttpRequest, option: Option, refused: Refused | None = None) -> HttpResponse:
    page: dict[str, Any] = {"option": option, "commission": option.commission, "files": FILES}
    problems = refused.problems if refused else ()
    try:
        template = page["template"] = _template(option)
        page["holes"] = [hole_words(hole, voice_of(the_studio())) for hole in template.holes]
    except Refused as none:
        problems = none.problems
    page |= {"problems": problems}
    return render(request, "commissions/drawing/drilling.html", page, status=422 if refused else 200)
