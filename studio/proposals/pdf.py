"""An issue as a PDF: A4 or Letter, tagged, fonts from the site's own files, nothing from any network."""

import json
import unicodedata
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from django.conf import settings
from django.template.loader import render_to_string

from studio.drawing.rings import PER_MM
from studio.drawing.weasy import LatticeImage, PanelDrawing
from studio.lattice.composition import Composition
from studio.memo import memo
from studio.printed import printed
from studio.proposals.freeze import Frozen, OptionSent, unpacked
from studio.proposals.shown import ShownOption, voice_in
from studio.proposals.stored import Stored
from studio.proposals.workings import ShownWorking, workings
from studio.voice import Voice

__all__ = ["Drawn", "render_pdf"]

COVER_MM = {"A4": (174.0, 122.0), "letter": (179.0, 104.0)}
OPTION_MM = {"A4": (174.0, 104.0), "letter": (179.0, 92.0)}
BESIDE_MM = {"A4": (116.0, 104.0), "letter": (121.0, 92.0)}
ABOVE_MM = {"A4": (174.0, 84.0), "letter": (179.0, 84.0)}
DETAIL_BESIDE_MM, DETAIL_BELOW_MM = (52.0, 70.0), (170.0, 34.0)
"""Fields for drawings on paper, within margins of 18 mm: alone, and with an enlarged detail beside or
below."""
SMALL_MM = (132.0, 44.0)
"""What all panels side by side take at the most, across all of them and up."""
SMALL_CELL_MM, TINY_CELL_MM = 3.5, 2.2
"""Cells drawn smaller than the first want an enlarged detail, smaller than the second need one, even if that
makes the drawing itself smaller."""
JOINERS = {"\u200d", "\ufe0e", "\ufe0f"}
FIRST_PICTURE = 0x1F000


@dataclass(frozen=True, slots=True)
class Drawn:
    """An option with its dimensioned elevation, and an enlarged detail where its cells are small on paper."""

    option: ShownOption
    elevation: LatticeImage
    detail: LatticeImage | None
    beside: bool = False

    @property
    def panel_mm(self) -> tuple[float, float]:
        """Width and height of the panel itself."""
        dimensions = self.elevation.dimensions
        return (dimensions.panel.width / PER_MM, dimensions.panel.height / PER_MM) if dimensions else (0, 0)


def render_pdf(frozen: Frozen, options: Iterable[OptionSent]) -> bytes:
    """Every text is that of the frozen documents; the options give their drawings. The costs are read only
    where the figures say that the client is to have them."""
    figures, parties = (spelled(json.loads(document)) for document in (frozen.figures, frozen.parties))
    panels = {option.letter: (option.estimate.composition, option.colours) for option in options}
    sheet, paper, voice = Stored(figures, parties).sheet, figures["paper"], voice_in(figures)
    drawings = {letter: PanelDrawing(*panel) for letter, panel in panels.items()}
    cover = drawings[sheet.options[0].letter].elevation(COVER_MM[paper], voice)
    drawn = [
        _drawn(option, panels[option.letter][0], drawings[option.letter], figures) for option in sheet.options
    ]
    context = {
        "sheet": sheet,
        "parties": parties,
        "paper": paper,
        "cover": cover,
        "drawn": drawn,
        "seal": frozen.seal[:16],
        "compared": list(zip(drawn, _small_widths_mm(drawn), strict=True)),
        "annex": _annex(frozen, voice) if sheet.annex else (),
    }
    html = render_to_string("proposals/pdf/document.html", context)
    return printed(html, _style(), _images(cover, drawn, drawings))


def _annex(frozen: Frozen, voice: Voice) -> list[tuple[str, tuple[ShownWorking, ...]]]:
    options = spelled(json.loads(unpacked(frozen.costs)))["options"]
    return [(letter, tuple(workings(costs, voice))) for letter, costs in options.items()]


def _drawn(
    option: ShownOption, composition: Composition, drawing: PanelDrawing, figures: Mapping[str, Any]
) -> Drawn:
    voice, paper = voice_in(figures), figures["paper"]
    elevation = drawing.elevation(OPTION_MM[paper], voice)
    cell_mm = elevation.scale.paper_mm(composition.fit.cell_side_mm)
    if cell_mm >= SMALL_CELL_MM:
        return Drawn(option, elevation, None)
    beside, above = (drawing.elevation(field[paper], voice) for field in (BESIDE_MM, ABOVE_MM))
    largest = max(beside.scale.paper_mm(1), above.scale.paper_mm(1))
    if cell_mm >= TINY_CELL_MM and largest < elevation.scale.paper_mm(1):
        return Drawn(option, elevation, None)  # one large drawing rather than a small one with a corner
    if beside.scale.paper_mm(1) >= above.scale.paper_mm(1):
        return Drawn(option, beside, drawing.detail(DETAIL_BESIDE_MM), beside=True)
    return Drawn(option, above, drawing.detail(DETAIL_BELOW_MM, (8, 2)))


def _small_widths_mm(drawn: list[Drawn]) -> list[float]:
    """Widths on paper of panels side by side, all at one scale."""
    widths, heights = zip(*(item.panel_mm for item in drawn), strict=True)
    across, up = SMALL_MM
    scale = min(across / len(drawn) / max(widths), up / max(heights))
    return [round(width * scale, 2) for width in widths]


def _images(
    cover: LatticeImage, drawn: Iterable[Drawn], drawings: Mapping[str, PanelDrawing]
) -> dict[str, LatticeImage]:
    images = {"lattice:cover": cover}
    for item in drawn:
        images[f"lattice:{item.option.letter}"] = item.elevation
        images[f"lattice:{item.option.letter}-small"] = drawings[item.option.letter].thumbnail()
        if item.detail:
            images[f"lattice:{item.option.letter}-detail"] = item.detail
    return images


@memo
def _style() -> str:
    return (settings.BASE_DIR / "static" / "css" / "document.css").read_text()


def spelled(value: Any) -> Any:
    """JSON values with every emoji in their texts as its Unicode name in brackets: hardly any font draws one,
    and a name must never print as an empty box."""
    if isinstance(value, dict):
        return {key: spelled(part) for key, part in value.items()}
    if isinstance(value, list):
        return [spelled(part) for part in value]
    return "".join(map(_sign, value)) if isinstance(value, str) and not value.isascii() else value


def _sign(sign: str) -> str:
    if sign in JOINERS:
        return ""
    if ord(sign) < FIRST_PICTURE or unicodedata.category(sign) not in ("So", "Sk", "Cn", "Co"):
        return sign
    return f"[{unicodedata.name(sign, 'unknown sign').lower()}]"
