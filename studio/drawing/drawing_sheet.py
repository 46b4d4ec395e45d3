"""The front elevation as a sheet of paper with a title block, at the largest listed scale: printed at full
size, its scale is the one it states."""

from collections.abc import Iterator, Mapping
from dataclasses import replace
from itertools import takewhile

from studio.drawing.elevation import describe, dimension_layer
from studio.drawing.layers import panel_layers
from studio.drawing.markup import svg
from studio.drawing.panel_dimensions import Dimensioned, dimensioned
from studio.drawing.rings import PER_MM
from studio.drawing.scale import Scale, listed_scales
from studio.drawing.sheet import Frame, Pen
from studio.drawing.title_block import HEIGHT_MM, TitleBlock, title_block
from studio.lattice.composition import Composition
from studio.voice import PLAIN, Voice

__all__ = ["PAPERS", "drawing_sheet_svg"]

PAPERS = {"A4": ("A4", (210.0, 297.0)), "letter": ("Letter", (215.9, 279.4))}
"""Name and size in mm by the studio's choice: ISO 216; ANSI/ASME Y14.1, from memory."""
MARGIN_MM, APART_MM = 15.0, 5.0
"""Round the sheet, wide enough for any printer; between the drawing and its title block."""
CAPITAL_MM = 2.5
"""ISO 3098 series, from memory."""
SMALLEST = 1000
"""No panel needs a smaller scale than 1:1000."""


def drawing_sheet_svg(
    composition: Composition,
    colours: Mapping[str, str],
    block: TitleBlock,
    *,
    ident: str,
    paper: str = "A4",
    voice: Voice = PLAIN,
) -> str:
    """Upright or lying, whichever shows the panel larger. Raises Refused for a filament without a colour."""
    name, upright = PAPERS[paper]
    scale, size, drawn = next(_laid_out(composition, upright, voice))
    pen = Pen(PER_MM * scale.real / scale.drawn, CAPITAL_MM)
    sheet = _sheet(size, drawn.frame, pen)
    margin = MARGIN_MM * pen.unit
    filled = replace(block, scale=f"{scale} ({name})")
    content = panel_layers(composition, colours) + dimension_layer(drawn, pen)
    content += title_block(filled, sheet.right - margin, sheet.bottom - margin, pen)
    told = f"{describe(composition, colours, voice)} Drawn at {scale} on {name}."
    title = f"{block.title}, {block.shows}"
    return svg(
        sheet, content, title=title, describe=told, ident=ident, class_="drawing sheet",
        width=f"{size[0]:g}mm", height=f"{size[1]:g}mm",
    )  # fmt: skip


def _laid_out(
    composition: Composition, upright: tuple[float, float], voice: Voice
) -> Iterator[tuple[Scale, tuple[float, float], Dimensioned]]:
    """What fits, the largest first; lying where both ways fit."""
    for scale in takewhile(lambda scale: scale.real <= SMALLEST, listed_scales()):
        pen = Pen(PER_MM * scale.real / scale.drawn, CAPITAL_MM)
        drawn = dimensioned(composition, pen, voice)
        for size in (upright[::-1], upright):
            wide = size[0] - 2 * MARGIN_MM
            high = size[1] - 2 * MARGIN_MM - HEIGHT_MM - APART_MM
            if drawn.frame.width <= wide * pen.unit and drawn.frame.height <= high * pen.unit:
                yield scale, size, drawn


def _sheet(size: tuple[float, float], drawn: Frame, pen: Pen) -> Frame:
    """The drawing in the middle of what the title block leaves."""
    width, height = (side * pen.unit for side in size)
    below = (MARGIN_MM + HEIGHT_MM + APART_MM) * pen.unit
    left = (drawn.left + drawn.right - width) / 2
    top = drawn.top - (height - below + MARGIN_MM * pen.unit - drawn.height) / 2
    return Frame(left, top, left + width, top + height)
