"""Printable infill pieces: a pattern cut for a cell and turned as the cell faces, or refused."""

from collections.abc import Iterator
from functools import lru_cache

import shapely
from shapely import Polygon
from shapely.affinity import rotate, scale

from studio.lattice.cut import FINE_MM, LEAST_STRIP_MM, Form, Sizes, cut
from studio.lattice.design import LatticeKind
from studio.lattice.infill_piece import Piece
from studio.lattice.opening import opening_polygon
from studio.lattice.pattern import Pattern
from studio.lattice.patterns import pattern
from studio.problem import Refused

__all__ = ["density", "least_side_mm", "opening_polygon", "piece_for"]

SIDE_STEP_MM, SMALLEST_SIDE_MM, LARGEST_SIDE_MM = 0.5, 10.0, 400.0
"""Where the least side is looked for: the range of `Design.cell_side_mm`."""

TURNS = {
    ("three-way", "whole"): ((1, 1), (-1, -1)),
    ("three-way", "half"): ((1, 1), (-1, 1), (1, -1), (-1, -1)),
    ("square", "whole"): ((1, 1), (-1, 1)),
}
"""Signs of x and y that carry the piece of facing 0 to each facing (see cell.py)."""


@lru_cache(maxsize=1024)
def piece_for(
    pattern_slug: str,
    lattice: LatticeKind,
    shape: str,
    facing: int,
    side_mm: float,
    strip_mm: float,
    infill_strip_mm: float,
    clearance_mm: float,
) -> Piece | None:
    """The piece of a pattern for a cell of `shape` and `facing`, None where the pattern leaves it open.

    Lengths in mm: cell side between centre lines, face width of the ground strips, width of the piece's own
    strips before the pattern's factor, play on every side. Raises Refused when the piece could not be printed
    in one part, ValueError for a shape or facing that the lattice does not have.
    """
    design = pattern(pattern_slug, lattice)
    opening_polygon(lattice, shape, facing, side_mm, 0.0)  # knows which shapes and facings there are
    if not design.strokes or not _fills(design, facing):
        return None
    form: Form = "whole" if shape == "whole" else "half"
    outline, rim = _printable(design, form, Sizes(side_mm, strip_mm, infill_strip_mm, clearance_mm))
    return Piece(
        pattern=design.slug,
        shape=shape,
        facing=facing,
        made_as=_made_as(design, shape, facing, outline),
        outline=_faced(outline, design, form, facing),
        rim=rim,
        holding=design.holding,
    )


@lru_cache(maxsize=256)
def least_side_mm(
    pattern_slug: str, lattice: LatticeKind, strip_mm: float, infill_strip_mm: float, clearance_mm: float
) -> float:
    """The smallest cell side, in steps of 0.5 mm, at which every shape of the pattern can be printed.
    Raises Refused when no side up to 400 mm will do."""
    design = pattern(pattern_slug, lattice)
    _refuse_thin_strip(design, infill_strip_mm)

    def flaw(steps: int) -> str:
        sizes = Sizes(steps * SIDE_STEP_MM, strip_mm, infill_strip_mm, clearance_mm)
        return next(_flaws(design, sizes), "")

    low, high = int(SMALLEST_SIDE_MM / SIDE_STEP_MM), int(LARGEST_SIDE_MM / SIDE_STEP_MM)
    if reason := flaw(high):
        raise Refused.because(
            "design.infill_strip_mm",
            f"{design.name} with strips of {infill_strip_mm:g} mm: {reason}, whatever the cell side",
            "a wider infill strip, narrower ground strips, or another pattern",
        )
    while low < high:
        middle = (low + high) // 2
        low, high = (middle + 1, high) if flaw(middle) else (low, middle)
    return low * SIDE_STEP_MM


def density(
    pattern_slug: str,
    lattice: LatticeKind,
    side_mm: float,
    strip_mm: float,
    infill_strip_mm: float,
    clearance_mm: float,
) -> float:
    """Share of the clear openings of whole cells that the pattern covers, over both facings: 0 when open,
    near 1 when filled."""
    lengths = side_mm, strip_mm, infill_strip_mm, clearance_mm
    pieces = (piece_for(pattern_slug, lattice, "whole", facing, *lengths) for facing in (0, 1))
    clear = opening_polygon(lattice, "whole", 0, side_mm, strip_mm / 2)
    return sum(piece.outline.area for piece in pieces if piece) / (2 * clear.area)


def _fills(design: Pattern, facing: int) -> bool:
    """Whether there is a piece in this facing. The upright side is on the left in the even ones."""
    return design.facings == "both" or design.facings == ("right" if facing % 2 else "left")


def _printable(design: Pattern, form: Form, sizes: Sizes) -> tuple[Polygon, bool]:
    """The outline for facing 0 and whether it has a rim; Refused when it cannot be printed."""
    _refuse_thin_strip(design, sizes.infill_strip_mm)
    result = cut(design.slug, design.lattice, form, sizes)
    if result.flaw:
        least = least_side_mm(design.slug, design.lattice, *sizes[1:])
        raise Refused.because(
            "design.cell_side_mm",
            f"{design.name} at a cell side of {sizes.side_mm:g} mm: {result.flaw}",
            f"a cell side of at least {least:g} mm with these strips, or another pattern",
        )
    return result.outline, result.rim


def _flaws(design: Pattern, sizes: Sizes) -> Iterator[str]:
    for lattice, form in TURNS:
        if lattice == design.lattice and (reason := cut(design.slug, lattice, form, sizes).flaw):
            yield reason


def _refuse_thin_strip(design: Pattern, infill_strip_mm: float) -> None:
    width_mm = infill_strip_mm * design.strip_factor
    if design.strokes and width_mm < LEAST_STRIP_MM:
        raise Refused.because(
            "design.infill_strip_mm",
            f"{design.name} would have strips {width_mm:g} mm wide, two beads take {LEAST_STRIP_MM:g} mm",
            f"an infill strip of at least {LEAST_STRIP_MM / design.strip_factor:.2f} mm",
        )


def _faced(outline: Polygon, design: Pattern, form: Form, facing: int) -> Polygon:
    """The outline for facing 0 placed as it faces."""
    if facing == 0 or (design.lattice == "square" and not design.mirrored):
        return outline
    across, up = TURNS[design.lattice, form][facing]
    placed: Polygon = shapely.orient_polygons(scale(outline, across, up, origin=(0, 0)))
    return placed


def _made_as(design: Pattern, shape: str, facing: int, outline: Polygon) -> str:
    """Names what is printed: turns of one outline share the name; a mirror image has its own unless it is a
    turn as well. (The hand of a half cell is in its shape.)"""
    mirrored = design.mirrored and facing == 1 and not _mirror_is_turn(outline)
    return f"{design.slug}, {shape}{', mirrored' if mirrored else ''}"


def _mirror_is_turn(outline: Polygon) -> bool:
    """Whether the mirror image of a square piece is the piece given some quarter turns."""
    mirrored = scale(outline, -1, 1, origin=(0, 0))
    turns = (rotate(outline, 90 * quarter, origin=(0, 0)) for quarter in range(4))
    return any(mirrored.symmetric_difference(turn).area < FINE_MM * outline.length for turn in turns)
