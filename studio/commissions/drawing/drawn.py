"""What the page shows of an option's drawing: one of its views, and what is in it."""

from collections.abc import Iterator, Mapping
from typing import Any, Literal, assert_never

from django.http import HttpRequest
from django.utils.safestring import SafeString, mark_safe

from studio.drawing.drawing_sheet import PAPERS
from studio.drawing.elevation import elevation_svg
from studio.drawing.legend import legend
from studio.drawing.lit import lit_svg
from studio.drawing.patch import patch_svg
from studio.drawing.scale import largest_scale
from studio.drawing.section_plan import section_plan_svg
from studio.drawing.space import space_svg
from studio.estimate.result import Estimate
from studio.pricing.rate_book import RateBook
from studio.voice import Voice

__all__ = ["VIEWS", "View", "drawn", "view_of"]

View = Literal["front", "sections", "lit", "space"]
VIEWS: dict[View, tuple[str, str]] = {
    "front": ("front", "front elevation"),
    "sections": ("sections", "sections, numbered, and modules in a heavier line"),
    "lit": ("light on", "shown lit from behind, in a dark room"),
    "space": ("in its space", "in its space, beside a standing figure"),
}
"""What a view is called, and what it says below itself."""
TAKEN_MM = (60.0, 67.0)
"""Of an upright sheet by margins of 18 mm, dimensions and a title block, across and up."""


def view_of(request: HttpRequest) -> View:
    """The view that was chosen, by address or with a change; the front where it is none of them."""
    asked = request.POST.get("view") or request.GET.get("view") or ""
    return next((view for view in VIEWS if view == asked), "front")


def drawn(
    found: Estimate | None, letter: str, book: RateBook, voice: Voice, paper: str, view: View
) -> dict[str, Any]:
    """The context of commissions/drawing.html; without an estimate there is no drawing."""
    context: dict[str, Any] = {
        "view": view,
        "views": [(name, words) for name, (words, _) in VIEWS.items()],
        "view_says": VIEWS[view][1],
        "units": voice.length_unit,
    }
    if found is None:
        return {**context, "drawing": "", "palette": (), "scale": ""}
    colours, fit = book.colours, found.bill.fit
    name, (wide, high) = PAPERS[paper]
    field = wide - TAKEN_MM[0], high - TAKEN_MM[1]
    return {
        **context,
        "drawing": _shown(found, colours, f"Option {letter}", f"option-{letter}", voice, view),
        "colours": colours,
        "palette": tuple(_palette(found, colours)),
        "scale": largest_scale(fit.width_mm, fit.height_mm, field) if view == "front" else "",
        "paper": name,
    }


def _shown(
    found: Estimate, colours: Mapping[str, str], title: str, ident: str, voice: Voice, view: View
) -> SafeString:
    made = found.composition
    match view:
        case "sections":
            text = section_plan_svg(
                made, found.bill.sections, title=f"{title}, sections", ident=ident, voice=voice
            )
        case "lit":
            text = lit_svg(made, colours, title=f"{title}, lit", ident=ident, voice=voice)
        case "space":
            words = f"{title} in its space"
            text = space_svg(made, colours, found.brief.space, title=words, ident=ident, voice=voice)
        case "front":
            text = elevation_svg(made, colours, title=f"{title}, front elevation", ident=ident, voice=voice)
        case _:
            assert_never(view)
    return mark_safe(text)  # noqa: S308 - the drawing package escapes what it is given


def _palette(found: Estimate, colours: Mapping[str, str]) -> Iterator[tuple[str, str, str, int | None]]:
    """Picture, name, filament and count of the pieces by pattern and colour, counted without spares; then
    what holds them, of which there is no picture and no count."""
    made, design = found.composition, found.composition.design
    for each in legend(made, colours):
        patch = mark_safe(patch_svg(made, each.pattern, each.colour))  # noqa: S308 - as above
        yield patch, each.name, each.filament, each.count
    yield "", "Lattice", design.lattice_filament, None
    if design.edging_width_mm:
        yield "", "Edging", design.edging_filament, None
