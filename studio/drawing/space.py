"""A panel in its space: opening, floor line, furniture and a standing figure in hairlines."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import assert_never

from studio.drawing.dimension import Dimension
from studio.drawing.elevation import CAPITAL_MM, DRAWN_MM
from studio.drawing.furniture import FURNITURE, GAP_MM, PlacedThing, Thing, in_a_row
from studio.drawing.markup import hairline, letter_text, segments_path, svg
from studio.drawing.rings import PER_MM
from studio.drawing.sheet import Frame, Lettering, Pen, Segment, frame_of
from studio.drawing.thumbnail import tinted_layers
from studio.lattice.composition import Composition
from studio.lattice.design import Space
from studio.voice import PLAIN, Voice

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
FIRST_MM, NEXT_MM, DIMENSIONS_MM = 7.0, 7.5, 18.0
"""On the sheet: to the first dimension line, from line to line, and room for both."""
HAIRLINE_PX = 0.7
UNMEASURED = " The opening is not measured yet."


def space_svg(
    composition: Composition,
    colours: Mapping[str, str],
    space: Space,
    *,
    title: str,
    ident: str,
    voice: Voice = PLAIN,
) -> str:
    """The wall seen from the front, with what stands near. `title` is plain text, `ident` its own on the
    page. Raises Refused for a filament without a colour."""
    scene = _scene(composition, space)
    content = "".join(tinted_layers(composition, colours))
    content += hairline("opening", _rectangle(scene.opening), HAIRLINE_PX, stroke_dasharray="7 5")
    near, (lines, figures) = (*scene.below, *scene.beside), _heights(scene, voice)
    floor = f"M{round(scene.walls.left)} {round(scene.floor)}H{round(scene.walls.right)}"
    drawn = [("floor", floor), ("person", _person(scene.person, scene.floor))]
    drawn += [(standing.thing.name, standing.outline()) for standing in near]
    drawn += [("dimensions", segments_path(lines))] if lines else []
    content += "".join(hairline(name, data, HAIRLINE_PX) for name, data in drawn)
    content += letter_text([*(standing.lettering(scene.pen) for standing in near), *figures], scene.pen)
    frame = scene.walls.grown(0, 0, 0, 2 * scene.pen.unit)
    told = _told(scene, voice) + ("" if space.measured else UNMEASURED)
    return svg(frame, content, title=title, describe=told, ident=ident, class_="drawing space")


@dataclass(frozen=True, slots=True)
class _Scene:
    """Where everything is, in drawing units. Dimensions stand right of `base`, what takes the wall itself
    right of them, the figure left of everything."""

    panel: Frame
    opening: Frame
    floor: float
    below: tuple[PlacedThing, ...]
    beside: tuple[PlacedThing, ...]
    base: float
    person: float
    walls: Frame
    pen: Pen


def _scene(composition: Composition, space: Space) -> _Scene:
    panel, bottom = frame_of(composition), bottom_mm(composition, space)
    floor, apart = panel.bottom + PER_MM * bottom, PER_MM * APART_MM
    opening = _opening(composition, space, floor)
    things = [FURNITURE[name] for name in space.stands_near]
    low = [thing for thing in things if thing.low and bottom > 0]
    below = in_a_row(low, (panel.left + panel.right - _width(low)) / 2, floor)
    base = max([opening.right, *(standing.right for standing in below)])
    person = min([opening.left, *(standing.left for standing in below)]) - 2 * apart
    others = [thing for thing in things if thing not in low]
    tops = [EYE_MM + HEAD_MM, *(thing.height_mm for thing in things)]
    top = min(opening.top, floor - PER_MM * max(tops)) - apart / 2
    wide = base - person + 2 * apart + (_width(others) + apart if others else 0)
    room = DIMENSIONS_MM if bottom > 0 else 0.0
    pen = Pen(max(wide / (DRAWN_MM[0] - room), (floor - top) / DRAWN_MM[1]), CAPITAL_MM)
    beside = in_a_row(others, base + room * pen.unit + apart / 2, floor)
    right = max([base + room * pen.unit, *(standing.right for standing in beside)]) + apart
    walls = Frame(person - apart, top, right, floor)
    return _Scene(panel, opening, floor, tuple(below), tuple(beside), base, person, walls, pen)


def _width(things: Sequence[Thing]) -> float:
    return PER_MM * (sum(thing.width_mm for thing in things) + GAP_MM * max(0, len(things) - 1))


def _heights(scene: _Scene, voice: Voice) -> tuple[list[Segment], list[Lettering]]:
    """From the floor to the panel, and by way of what stands below it."""
    heights = [0.0, *sorted({standing.thing.height_mm for standing in scene.below})[-1:]]
    bottom = (scene.floor - scene.panel.bottom) / PER_MM
    first, second = (scene.base + line * scene.pen.unit for line in (FIRST_MM, FIRST_MM + NEXT_MM))
    found: list[tuple[float, float, float]] = []
    if bottom > 0:
        found.append((0.0, bottom, second if len(heights) > 1 else first))
    if len(heights) > 1:
        found.append((0.0, heights[1], first))
        if bottom > heights[1]:
            found.append((heights[1], bottom, first))
    lines: list[Segment] = []
    figures = []
    for low, high, line in found:
        ends = (scene.floor - PER_MM * low, scene.floor - PER_MM * high)
        dimension = Dimension((voice.figure(high - low),), *ends, line, scene.base, upright=True)
        drawn, text = dimension.drawn(scene.pen)
        lines += drawn
        figures.append(text)
    return lines, figures


def _told(scene: _Scene, voice: Voice) -> str:
    bottom = voice.length((scene.floor - scene.panel.bottom) / PER_MM)
    told = (
        f"The panel on its wall, its lower edge {bottom} above the floor, beside a standing figure with eyes"
    )
    told += f" {voice.length(EYE_MM)} above the floor."
    for word, standings in (("Below it", scene.below), ("Beside it", scene.beside)):
        things = [f"a {s.thing.name} {voice.length(s.thing.height_mm)} high" for s in standings]
        told += f" {word} {', '.join(things)}." if things else ""
    return told


def bottom_mm(composition: Composition, space: Space) -> float:
    """From the floor to the panel's lower edge: as said, or on the floor when free-standing, or hung
    about CENTRE_MM."""
    if space.floor_to_bottom_mm is not None:
        return float(space.floor_to_bottom_mm)
    match space.mounting:
        case "free-standing":
            return 0.0
        case "wall" | "in a frame":
            return max(0.0, CENTRE_MM - composition.fit.height_mm / 2)
        case _:
            assert_never(space.mounting)


def _opening(composition: Composition, space: Space, floor: float) -> Frame:
    """The smallest width and height that were measured, the panel in the middle of it, or as near to it as
    the floor lets it be."""
    panel = frame_of(composition)
    across = (PER_MM * float(min(space.widths_mm)) - panel.width) / 2
    up = (PER_MM * float(min(space.heights_mm)) - panel.height) / 2
    below = min(up, floor - panel.bottom)
    return panel.grown(across, 2 * up - below, across, below)


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
