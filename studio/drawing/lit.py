"""A panel as it looks with its light on: dark before a glowing ground."""

from collections.abc import Mapping

from studio.drawing.colour import colour_of, rgb
from studio.drawing.elevation import describe
from studio.drawing.layers import panel_layers
from studio.drawing.markup import element, svg
from studio.drawing.rings import PER_MM
from studio.drawing.sheet import Frame, frame_of
from studio.lattice.composition import Composition
from studio.voice import PLAIN, Voice

__all__ = ["lit_svg", "shaded"]

GLOW, WALL = "#ffe3ae", "#2a2724"
"""A diffuser before warm white light, and a wall in the dark; by eye, no source."""
SHADE = 0.38
"""How much of its colour a piece keeps with the light behind it; by eye, no source."""
ROUND = 0.06
"""How much wall is shown on each side, as a share of the panel's longer side."""


def lit_svg(
    composition: Composition, colours: Mapping[str, str], *, title: str, ident: str, voice: Voice = PLAIN
) -> str:
    """The panel from the front in a dark room, shown lit whether or not the design is. `title` is plain text,
    `ident` its own on the page. Raises Refused for a filament without a colour."""
    frame = frame_of(composition)
    wall = frame.around(ROUND * max(frame.width, frame.height))
    named = {name: shaded(colour_of(colours, name)) for name in _filaments(composition)}
    half = PER_MM * float(composition.design.edging_width_mm) / 2  # so that no glow shows round the edging
    glow = frame.around(-half)
    content = _area(wall, WALL) + _area(glow, GLOW) + panel_layers(composition, named, edges=False)
    told = f"{describe(composition, colours, voice)} Shown lit from behind."
    return svg(wall, content, title=title, describe=told, ident=ident, class_="drawing lit")


def shaded(colour: str) -> str:
    """What is left of "#rrggbb" with the light behind it."""
    return "#" + "".join(f"{round(255 * SHADE * part):02x}" for part in rgb(colour))


def _filaments(composition: Composition) -> set[str]:
    design = composition.design
    edging = {design.edging_filament} if design.edging_width_mm else set()
    return {design.lattice_filament, *edging, *composition.filaments}


def _area(frame: Frame, colour: str) -> str:
    left, top, width, height = map(round, (frame.left, frame.top, frame.width, frame.height))
    return element("rect", x=left, y=top, width=width, height=height, fill=colour)
