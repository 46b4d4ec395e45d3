"""A small patch of a pattern, for pickers and legends: six triangles round a crossing, or two by two
squares."""

from math import sqrt

import shapely
from shapely import Polygon
from shapely.affinity import translate

from studio.drawing.colour import colour_of
from studio.drawing.layers import filled
from studio.drawing.markup import element, svg
from studio.drawing.paths import outline_path
from studio.drawing.rings import TENTHS
from studio.drawing.sheet import Frame
from studio.lattice.cell import cell_polygon
from studio.lattice.design import LatticeKind
from studio.lattice.opening import opening_polygon
from studio.lattice.pattern import Pattern
from studio.lattice.patterns import pattern as pattern_named
from studio.lattice.piece import least_side_mm, piece_for

__all__ = ["swatch_svg"]

SIDE_MM, STRIP_MM, INFILL_MM, CLEARANCE_MM = 44.0, 3.2, 2.0, 0.15
"""As a new design has them; the side grows where a pattern needs it."""


def swatch_svg(
    pattern: str | Pattern,
    lattice: LatticeKind,
    colour: str,
    *,
    title: str,
    ident: str,
    lattice_colour: str | None = None,
) -> str:
    """A patch of the pattern (or of its slug) in a colour ("#rrggbb"); the strips in `lattice_colour`, or
    faint in the colour of the text. Raises Refused for an unknown pattern and for what is no colour."""
    colour = colour_of({title: colour}, title)
    design = pattern if isinstance(pattern, Pattern) else pattern_named(pattern, lattice)
    least = least_side_mm(design, STRIP_MM, INFILL_MM, CLEARANCE_MM) if not design.is_open else SIDE_MM
    side = max(SIDE_MM, least)
    cells = [(facing, x * side, y * side) for facing, x, y in PATCH[lattice]]
    made = [
        translate(piece.outline, x, y)
        for facing, x, y in cells
        if (piece := piece_for(design, lattice, "whole", facing, side, STRIP_MM, INFILL_MM, CLEARANCE_MM))
    ]
    strips = outline_path(_strips(lattice, side, cells))
    if lattice_colour is None:
        ground = element("path", class_="lattice", d=strips, fill="currentColor", fill_opacity=0.45)
    else:
        ground = filled("lattice", strips, colour_of({"the lattice": lattice_colour}, "the lattice"))
    content = ground + (filled("infills", outline_path(made), colour) if made else "")
    half_width = TENTHS * side * (sqrt(3) / 2 if lattice == "three-way" else 1) + TENTHS
    half_height = TENTHS * side + TENTHS
    frame = Frame(-half_width, -half_height, half_width, half_height)
    return svg(frame, content, title=title, ident=ident, class_="drawing swatch")


_H = sqrt(3) / 4
PATCH: dict[LatticeKind, tuple[tuple[int, float, float], ...]] = {
    "three-way": (
        (0, _H, 0.5), (0, _H, -0.5), (1, _H, 0.0), (1, -_H, 0.5), (1, -_H, -0.5), (0, -_H, 0.0),
    ),
    "square": ((0, -0.5, -0.5), (1, 0.5, -0.5), (1, -0.5, 0.5), (0, 0.5, 0.5)),
}  # fmt: skip
"""Facing and reference point of each cell, in cell sides from the middle."""


def _strips(lattice: LatticeKind, side: float, cells: list[tuple[int, float, float]]) -> list[Polygon]:
    around = [
        translate(cell_polygon(lattice, "whole", facing, side) - _opening(lattice, facing, side), x, y)
        for facing, x, y in cells
    ]
    return list(shapely.get_parts(shapely.union_all(around, grid_size=0.01)).tolist())


def _opening(lattice: LatticeKind, facing: int, side: float) -> Polygon:
    return opening_polygon(lattice, "whole", facing, side, STRIP_MM / 2)
