"""A panel seen from the front, as SVG for the screen."""

from collections.abc import Mapping

from studio.drawing.layers import panel_layers
from studio.drawing.legend import legend
from studio.drawing.markup import hairline, letter_text, segments_path, svg
from studio.drawing.panel_dimensions import Dimensioned, dimensioned, margins_mm
from studio.drawing.sheet import Pen, frame_of
from studio.lattice.composition import Composition
from studio.voice import PLAIN, Voice

__all__ = ["describe", "elevation_svg", "screen_pen"]

DRAWN_MM = (185.0, 150.0)
"""The largest size that a picture is expected to have on a screen, about 700 x 570 px."""
CAPITAL_MM = 3.0
DIMENSION_PX = 0.7
"""0.18 mm (ISO 128-2 series, from memory)."""


def elevation_svg(
    composition: Composition,
    colours: Mapping[str, str],
    *,
    title: str,
    with_dimensions: bool = True,
    voice: Voice = PLAIN,
    ident: str,
    drawn_mm: tuple[float, float] = DRAWN_MM,
) -> str:
    """The front elevation. `colours` maps filament names to "#rrggbb"; `title` is plain text; `ident` is
    its own on the page. Lettering is sized for a picture of at most `drawn_mm` on the screen. Raises
    Refused for a missing colour."""
    pen = screen_pen(composition, drawn_mm)
    content, frame = panel_layers(composition, colours), frame_of(composition).around(pen.unit)
    if with_dimensions:
        dimensions = dimensioned(composition, pen, voice)
        content, frame = content + dimension_layer(dimensions, pen), dimensions.frame
    told = describe(composition, colours, voice)
    return svg(frame, content, title=title, describe=told, ident=ident, class_="drawing elevation")


def screen_pen(composition: Composition, drawn_mm: tuple[float, float] = DRAWN_MM) -> Pen:
    """The pen for a picture that fills `drawn_mm` one way, its margins included."""
    left, top, right, bottom = margins_mm(composition.fit)
    panel = frame_of(composition)
    unit = max(panel.width / (drawn_mm[0] - left - right), panel.height / (drawn_mm[1] - top - bottom))
    return Pen(unit, CAPITAL_MM)


def dimension_layer(dimensions: Dimensioned, pen: Pen) -> str:
    lines = hairline("dimensions", segments_path(dimensions.lines), DIMENSION_PX)
    return lines + letter_text(dimensions.lettering, pen)


def describe(composition: Composition, colours: Mapping[str, str], voice: Voice = PLAIN) -> str:
    """The panel in a sentence or two, for those who do not see it."""
    fit = composition.fit
    sizes = [voice.length(size) for size in (fit.width_mm, fit.height_mm, fit.cell_side_mm)]
    pieces = [
        f"{voice.number(entry.count)} {entry.name.lower()} in {entry.filament}"
        for entry in legend(composition, colours)
    ]
    told = f"A {fit.kind.spoken} lattice panel seen from the front, {sizes[0]} wide"
    told += f" and {sizes[1]} high, cells of {sizes[2]}"
    told += f" at {voice.quantity(fit.angle_deg)}°." if fit.kind.angled else "."
    return f"{told} Pieces: {', '.join(pieces)}." if pieces else f"{told} All cells are open."
