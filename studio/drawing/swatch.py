"""A small patch of a pattern, for pickers and legends: the cells round a crossing."""

from contextlib import suppress

import numpy as np
import shapely
from shapely import Polygon
from shapely.affinity import translate

from studio.drawing.colour import colour_of
from studio.drawing.curves import curves_of
from studio.drawing.layers import filled
from studio.drawing.markup import path, svg
from studio.drawing.paths import curves_path, outline_path
from studio.drawing.rings import PER_MM
from studio.drawing.sheet import Frame
from studio.lattice.cell import cell_polygon, opening_polygon
from studio.lattice.kinds import Kind, LatticeKind, kind_of
from studio.lattice.pattern import Pattern
from studio.lattice.patterns import pattern as pattern_named
from studio.lattice.piece import least_side_mm, piece_for
from studio.memo import memo
from studio.problem import Refused

__all__ = ["swatch_side_mm", "swatch_svg"]

SIDE_MM, STRIP_MM, INFILL_MM, CLEARANCE_MM = 44.0, 3.2, 2.0, 0.15
"""As a new design has them; the side grows where a pattern needs it."""
ANGLE_DEG = 60.0
MANY, MIDST = 8, 4
"""Columns and rows of a panel, and the steps to its midst."""
LARGER_MM = (66.0, 100.0, 150.0, 225.0, 300.0, 400.0)


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
    side = swatch_side_mm(design)
    cells = [(facing, x * side, y * side) for facing, x, y in _patch(kind_of(lattice))]
    made = [
        translate(piece.outline, x, y)
        for facing, x, y in cells
        if (piece := piece_for(design, lattice, "whole", facing, side, STRIP_MM, INFILL_MM, CLEARANCE_MM))
    ]
    ground = _strips(lattice, side, cells)
    strips, frame = outline_path(ground), _framed(ground)
    if lattice_colour is None:
        drawn = path(strips, class_="lattice", fill="currentColor", fill_opacity=0.45)
    else:
        drawn = filled("lattice", strips, colour_of({"the lattice": lattice_colour}, "the lattice"))
    drawn += (
        filled("infills", "".join(curves_path(curves_of(piece)) for piece in made), colour) if made else ""
    )
    return svg(frame, drawn, title=title, ident=ident, class_="drawing swatch")


@memo
def swatch_side_mm(design: Pattern) -> float:
    """The cell side at which a pattern is shown: the usual one, or the next larger that it can be printed in.
    Odd patterns close up again in cells that are larger than the least; the largest of all always works, or
    there is no least. Raises Refused for what cannot be printed at all."""
    if design.is_open:
        return SIDE_MM
    least = least_side_mm(design, STRIP_MM, INFILL_MM, CLEARANCE_MM)
    sides = sorted({max(SIDE_MM, least), *(side for side in LARGER_MM if side > max(SIDE_MM, least))})
    for side in (*sides, least):
        with suppress(Refused):
            for facing in (0, 1):
                piece_for(design, design.lattice, "whole", facing, side, STRIP_MM, INFILL_MM, CLEARANCE_MM)
            return side
    return least


def _patch(kind: Kind) -> list[tuple[int, float, float]]:
    """Facing and reference point of each cell round a crossing, in cell sides from the crossing: those round
    one in the midst of a panel, where every cell is whole."""
    across, up = kind.axes(MANY, MANY, 1.0, ANGLE_DEG)
    column, row = np.array(kind.round_crossing, dtype=np.int32).T
    _, facing = kind.cut(column + MIDST, row + MIDST + kind.every_other, across, up)
    x, y = (
        (place + (0.0 if way.zigzag else 0.5)) * way.step_mm for place, way in ((column, across), (row, up))
    )
    return list(zip(facing.tolist(), x.tolist(), y.tolist(), strict=True))


def _framed(ground: list[Polygon]) -> Frame:
    """All of it and a millimetre round it."""
    left, bottom, right, top = (PER_MM * edge for edge in shapely.total_bounds(ground))
    return Frame(left, -top, right, -bottom).around(PER_MM)


def _strips(lattice: LatticeKind, side: float, cells: list[tuple[int, float, float]]) -> list[Polygon]:
    around = [
        translate(cell_polygon(lattice, "whole", facing, side) - _opening(lattice, facing, side), x, y)
        for facing, x, y in cells
    ]
    return list(shapely.get_parts(shapely.union_all(around, grid_size=0.01)).tolist())


def _opening(lattice: LatticeKind, facing: int, side: float) -> Polygon:
    return opening_polygon(lattice, "whole", facing, side, STRIP_MM / 2)
