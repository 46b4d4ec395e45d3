"""Printable infill pieces: a pattern cut for a cell and turned as the cell faces, or refused."""

from dataclasses import dataclass
from typing import assert_never

import shapely
from shapely import Polygon
from shapely.affinity import affine_transform, rotate, scale

from studio.lattice.cell import opening_polygon
from studio.lattice.cut import Sizes, alike, cut
from studio.lattice.kinds import LatticeKind, kind_of
from studio.lattice.least_side import least_side_mm, refuse_thin_strip
from studio.lattice.pattern import Pattern
from studio.lattice.shapes import CellForm, Shape, form_of
from studio.memo import memo
from studio.problem import Refused
from studio.voice import at_least, length, said

__all__ = ["Piece", "density", "least_side_mm", "opening_polygon", "piece_for"]

QUARTER_TURN = (0, -1, 1, 0, 0, 0)
"""Anticlockwise, exactly."""


@dataclass(frozen=True, eq=False)
class Piece:
    """One distinct infill piece in one facing: a pattern cut for a shape of cell.

    `outline` lies in the cell's own coordinates (mm, y up, origin at the cell's reference point
    `Composition.x/y`), already turned as it faces in the panel. `made_as` names what is printed: facings that
    are turns of each other share it. `name` is the pattern's. `rim` tells that it has a rim; `holding` is
    how it is held in its cell (holding.py).
    """

    pattern: str
    name: str
    shape: Shape
    facing: int
    made_as: str
    outline: Polygon
    rim: bool
    holding: str


@memo
def piece_for(
    design: Pattern,
    lattice: LatticeKind,
    shape: Shape,
    facing: int,
    side_mm: float,
    strip_mm: float,
    infill_strip_mm: float,
    clearance_mm: float,
    angle_deg: float = 60.0,
) -> Piece | None:
    """The piece of a pattern for a cell of `shape` and `facing`, None where the pattern leaves it open.

    Lengths in mm: cell side between centre lines, face width of the ground strips, width of the piece's own
    strips before the pattern's factor, play on every side. Raises Refused when the piece could not be printed
    in one part, ValueError for a shape or facing that the lattice does not have.
    """
    opening_polygon(
        lattice, shape, facing, side_mm, 0.0, angle_deg
    )  # knows which shapes and facings there are
    form = form_of(shape)
    if not design.strokes(form) or not _fills(design, facing):
        return None
    sizes = Sizes(side_mm, strip_mm, infill_strip_mm, clearance_mm, angle_deg)
    outline, rim = _printable(design, form, sizes)
    faced = _faced(outline, design, form, facing)
    return Piece(
        pattern=design.slug,
        name=design.name,
        shape=shape,
        facing=facing,
        made_as=_made_as(design, shape, facing, outline),
        outline=affine_transform(faced, QUARTER_TURN) if kind_of(lattice).turned else faced,
        rim=rim,
        holding=design.holding,
    )


def density(
    design: Pattern,
    side_mm: float,
    strip_mm: float,
    infill_strip_mm: float,
    clearance_mm: float,
    angle_deg: float = 60.0,
) -> float:
    """Share of the clear openings of whole cells that the pattern covers, over both facings: 0 when open,
    near 1 when filled."""
    lattice, lengths = design.lattice, (side_mm, strip_mm, infill_strip_mm, clearance_mm, angle_deg)
    pieces = (piece_for(design, lattice, "whole", facing, *lengths) for facing in (0, 1))
    clear = opening_polygon(lattice, "whole", 0, side_mm, strip_mm / 2, angle_deg)
    return sum(piece.outline.area for piece in pieces if piece) / (2 * clear.area)


def _fills(design: Pattern, facing: int) -> bool:
    """Whether there is a piece in this facing. The upright side is on the left in the even ones."""
    match design.facings:
        case "both":
            return True
        case "left":
            return facing % 2 == 0
        case "right":
            return facing % 2 == 1
        case _:
            assert_never(design.facings)


def _printable(design: Pattern, form: CellForm, sizes: Sizes) -> tuple[Polygon, bool]:
    """The outline for facing 0 and whether it has a rim; Refused when it cannot be printed."""
    refuse_thin_strip(design, sizes.infill_strip_mm)
    result = cut(design, form, sizes)
    if result.flaw:
        least = max(least_side_mm(design, *sizes[1:]), sizes.side_mm + 0.5)
        raise Refused.because(
            "design.cell_side_mm",
            said("{} at a cell side of {}: {}", design.name, length(sizes.side_mm), result.flaw),
            said("a cell side of at least {} with these strips, or another pattern", at_least(least)),
        )
    return result.outline, result.rim


def _faced(outline: Polygon, design: Pattern, form: CellForm, facing: int) -> Polygon:
    """The outline for facing 0 placed as it faces."""
    across, up = kind_of(design.lattice).turns[form][facing]
    by_choice = form == "whole" and across != up  # a mirror image, not a turn
    if facing == 0 or (by_choice and not design.mirrored):
        return outline
    placed: Polygon = shapely.orient_polygons(scale(outline, across, up, origin=(0, 0)))
    return placed


def _made_as(design: Pattern, shape: Shape, facing: int, outline: Polygon) -> str:
    """Names what is printed: turns of one outline share the name; a mirror image has its own unless it is a
    turn as well. (The hand of a half or quarter cell is in its shape.)"""
    alternates = design.mirrored and shape == "whole" and facing == 1
    mirrored = alternates and not _mirror_is_turn(outline, kind_of(design.lattice).turn_deg)
    return f"{design.slug}, {shape}{', mirrored' if mirrored else ''}"


def _mirror_is_turn(outline: Polygon, turn_deg: int) -> bool:
    """Whether the mirror image of a piece is the piece given some turns: quarter ones of a square, a half one
    of a rhombus."""
    mirrored = scale(outline, -1, 1, origin=(0, 0))
    turns = (rotate(outline, turn, origin=(0, 0)) for turn in range(0, 360, turn_deg))
    return any(alike(mirrored, turn) for turn in turns)
