"""A panel in its space: opening, floor line and a standing figure in hairlines."""

from collections.abc import Mapping

from studio.drawing.dimension import Dimension
from studio.drawing.elevation import CAPITAL_MM, DRAWN_MM
from studio.drawing.figures import Units, figure, size_text
from studio.drawing.markup import element, letter_text, segments_path, svg
from studio.drawing.rings import PER_MM
from studio.drawing.sheet import Frame, Pen, frame_of
from studio.drawing.thumbnail import tinted_layers
from studio.lattice.composition import Composition
from studio.lattice.design import Space

__all__ = ["CENTRE_MM", "EYE_MM", "bottom_mm", "space_svg"]

EYE_MM = 1567.5
"""Standing eye height: mean of British men's and women's medians (table after Pheasant, Bodyspace, from
memory)."""
CENTRE_MM = 1500.0
"""Height of a panel's centre where nobody said: galleries hang at 1450 to 1500 mm (common practice, no
standard)."""
HEAD_MM = 115.0
"""From the eye to the crown (from memory)."""
APART_MM = 350.0
HAIRLINE_PX = 0.7


def space_svg(
    composition: Composition,
    colours: Mapping[str, str],
    space: Space,
    *,
    title: str,
    ident: str,
    units: Units = "metric",
) -> str:
    """The wall seen from the front. `title` is plain text, `ident` its own on the page."""
    panel, bottom = frame_of(composition), bottom_mm(composition, space)
    floor = panel.bottom + PER_MM * bottom
    opening = _opening(composition, space)
    person = opening.left - PER_MM * 2 * APART_MM
    top = min(opening.top, floor - PER_MM * (EYE_MM + HEAD_MM)) - PER_MM * APART_MM / 2
    walls = Frame(person - PER_MM * APART_MM, top, opening.right + PER_MM * 1.5 * APART_MM, floor)
    pen = Pen(max(walls.width / DRAWN_MM[0], walls.height / DRAWN_MM[1]), CAPITAL_MM)
    frame = walls.grown(0, 0, 0, 6 * pen.unit)
    content = "".join(tinted_layers(composition, colours))
    content += _hairlines(_rectangle(opening), "opening", "7 5")
    content += _hairlines(f"M{round(walls.left)} {round(floor)}H{round(walls.right)}", "floor")
    content += _hairlines(_person(person, floor), "person")
    if bottom > 0:
        content += _height(panel, floor, opening.right + 8 * pen.unit, figure(bottom, units), pen)
    told = f"The panel on its wall, its lower edge {size_text(bottom, units)} above the floor, beside a"
    told += f" standing figure with eyes {size_text(EYE_MM, units)} above the floor."
    return svg(frame, content, title=title, describe=told, ident=ident, class_="drawing space")


def bottom_mm(composition: Composition, space: Space) -> float:
    """From the floor to the panel's lower edge: as said, or on the floor when free-standing, or hung
    about CENTRE_MM."""
    if space.floor_to_bottom_mm is not None:
        return float(space.floor_to_bottom_mm)
    if space.mounting == "free-standing":
        return 0.0
    return max(0.0, CENTRE_MM - composition.fit.height_mm / 2)


def _opening(composition: Composition, space: Space) -> Frame:
    """The smallest width and height that were measured, the panel in the middle of it."""
    panel = frame_of(composition)
    across = (PER_MM * float(min(space.widths_mm)) - panel.width) / 2
    up = (PER_MM * float(min(space.heights_mm)) - panel.height) / 2
    return panel.grown(across, up, across, up)


def _rectangle(frame: Frame) -> str:
    left, top, right, bottom = (round(edge) for edge in (frame.left, frame.top, frame.right, frame.bottom))
    return f"M{left} {top}H{right}V{bottom}H{left}z"


def _person(x: float, floor: float) -> str:
    """A head about the eye line and a plain outline down to the floor."""
    head, neck = PER_MM * HEAD_MM, floor - PER_MM * (EYE_MM - HEAD_MM - 30)
    eye = floor - PER_MM * EYE_MM
    wide = 0.7 * head
    around = f"M{round(x - wide)} {round(eye)}a{round(wide)} {round(head)} 0 1 0 {round(2 * wide)} 0"
    around += f"a{round(wide)} {round(head)} 0 1 0 {round(-2 * wide)} 0z"
    half = [(50, 0), (210, 70), (230, 650), (150, 690), (120, (floor - neck) / PER_MM)]
    right = "".join(f"L{round(x + PER_MM * dx)} {round(neck + PER_MM * dy)}" for dx, dy in half)
    left = "".join(f"L{round(x - PER_MM * dx)} {round(neck + PER_MM * dy)}" for dx, dy in reversed(half))
    return around + "M" + (right + left)[1:] + "z"


def _height(panel: Frame, floor: float, line: float, text: str, pen: Pen) -> str:
    lines, lettering = Dimension((text,), floor, panel.bottom, line, panel.right, upright=True).drawn(pen)
    return _hairlines(segments_path(lines), "dimensions") + letter_text([lettering], pen)


def _hairlines(data: str, class_: str, dashes: str | None = None) -> str:
    """`dashes` are on screen, in px, as the width is."""
    return element(
        "path",
        class_=class_,
        d=data,
        stroke="currentColor",
        stroke_width=HAIRLINE_PX,
        stroke_dasharray=dashes,
        vector_effect="non-scaling-stroke",
    )
