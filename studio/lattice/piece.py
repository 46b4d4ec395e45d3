"""Printable pieces: a pattern cut for one cell, exact to the clearance, in one part or refused."""

from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

import shapely
from shapely import MultiPolygon, Polygon
from shapely.affinity import scale

from studio.lattice.cell import HALF_HANDS
from studio.lattice.design import LatticeKind
from studio.lattice.infill_piece import Piece
from studio.lattice.opening import INRADIUS, opening_polygon
from studio.lattice.pattern import Pattern, Stroke
from studio.lattice.patterns import pattern
from studio.lattice.strokes import stroke_material
from studio.problem import Refused

__all__ = [
    "BEAD_MM", "LEAST_STRIP_MM", "NOZZLE_MM", "RIM_MM", "density", "least_side_mm", "opening_polygon", "piece_for",
]  # fmt: skip

NOZZLE_MM = 0.4
"""A wedge narrower than the nozzle fills up in printing, so it is filled in the drawing."""
BEAD_MM = 0.45
LEAST_STRIP_MM = 2 * BEAD_MM
"""A strip is printed as two walls at least."""
RIM_MM = 3 * BEAD_MM
SIDE_STEP_MM, SMALLEST_SIDE_MM, LARGEST_SIDE_MM = 0.5, 10.0, 400.0
"""Where the least side is looked for: the range of `Design.cell_side_mm`."""
FINE_MM = 0.002
"""Points that lie nearer than this to the line through their neighbours are dropped."""

Form = Literal["whole", "half"]


@dataclass(frozen=True, eq=False)
class _Cut:
    """A pattern cut for facing 0: its outline and whether it has a rim, or the flaw that forbids printing it."""

    outline: Polygon
    rim: bool = False
    flaw: str = ""


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
    """The piece of a pattern for a cell of `shape` and `facing`, None where the pattern leaves that cell open.

    Lengths in mm: cell side between centre lines, face width of the ground strips, width of the piece's own strips
    before the pattern's factor, play on every side. Raises Refused when the piece could not be printed in one part,
    ValueError for a shape or facing that the lattice does not have.
    """
    design = pattern(pattern_slug, lattice)
    opening_polygon(lattice, shape, facing, side_mm, 0.0)  # knows which shapes and facings there are
    if not design.strokes or not _fills(design, lattice, shape, facing):
        return None
    form = _form(shape)
    _refuse_thin_strip(design, infill_strip_mm)
    cut = _cut(design.slug, lattice, form, side_mm, strip_mm, infill_strip_mm, clearance_mm)
    if cut.flaw:
        least = least_side_mm(design.slug, lattice, strip_mm, infill_strip_mm, clearance_mm)
        raise Refused.because(
            "design.cell_side_mm", f"{design.name} at a cell side of {side_mm:g} mm: {cut.flaw}",
            f"a cell side of at least {least:g} mm with these strips, or another pattern",
        )  # fmt: skip
    outline = _faced(cut.outline, design, form, facing)
    return Piece(
        pattern=design.slug, shape=shape, facing=facing, outline=outline, rim=cut.rim, holding=design.holding,
        made_as=_made_as(design, shape, facing, cut.outline),
    )  # fmt: skip


@lru_cache(maxsize=256)
def least_side_mm(
    pattern_slug: str, lattice: LatticeKind, strip_mm: float, infill_strip_mm: float, clearance_mm: float
) -> float:
    """The smallest cell side, in steps of 0.5 mm, at which every shape of the pattern can be printed.
    Raises Refused when no side up to 400 mm does."""
    design = pattern(pattern_slug, lattice)
    _refuse_thin_strip(design, infill_strip_mm)
    forms: list[Form] = [form for form in ("whole", "half") if (lattice, form) in INRADIUS]

    def flaw(steps: int) -> str:
        side_mm = steps * SIDE_STEP_MM
        cuts = (_cut(design.slug, lattice, form, side_mm, strip_mm, infill_strip_mm, clearance_mm) for form in forms)
        return next((cut.flaw for cut in cuts if cut.flaw), "")

    low, high = int(SMALLEST_SIDE_MM / SIDE_STEP_MM), int(LARGEST_SIDE_MM / SIDE_STEP_MM)
    if reason := flaw(high):
        raise Refused.because(
            "design.infill_strip_mm", f"{design.name} with strips of {infill_strip_mm:g} mm: {reason}",
            "a wider infill strip, narrower ground strips, or another pattern",
        )  # fmt: skip
    while low < high:
        middle = (low + high) // 2
        low, high = (middle + 1, high) if flaw(middle) else (low, middle)
    return low * SIDE_STEP_MM


def density(
    pattern_slug: str, lattice: LatticeKind, side_mm: float, strip_mm: float, infill_strip_mm: float, clearance_mm: float
) -> float:
    """Share of the clear openings of whole cells that the pattern covers, over both facings: 0 open, near 1 filled."""
    clear = opening_polygon(lattice, "whole", 0, side_mm, strip_mm / 2)
    pieces = (
        piece_for(pattern_slug, lattice, "whole", facing, side_mm, strip_mm, infill_strip_mm, clearance_mm)
        for facing in (0, 1)
    )
    return sum(piece.outline.area for piece in pieces if piece) / (2 * clear.area)


def _form(shape: str) -> Form:
    return "whole" if shape == "whole" else "half"


def _fills(design: Pattern, lattice: LatticeKind, shape: str, facing: int) -> bool:
    """Whether the pattern has a piece in this facing. The upright side is left in whole facing 0, half facings 0 and 2."""
    if lattice == "square" or design.facings == "both":
        return True
    return design.facings == ("left" if facing % 2 == 0 else "right")


def _refuse_thin_strip(design: Pattern, infill_strip_mm: float) -> None:
    width_mm = infill_strip_mm * design.strip_factor
    if width_mm < LEAST_STRIP_MM:
        raise Refused.because(
            "design.infill_strip_mm",
            f"{design.name} would have strips of {width_mm:g} mm, narrower than two beads ({LEAST_STRIP_MM:g} mm)",
            f"an infill strip of at least {LEAST_STRIP_MM / design.strip_factor:.2f} mm",
        )


@lru_cache(maxsize=4096)
def _cut(
    slug: str, lattice: LatticeKind, form: Form, side_mm: float, strip_mm: float, infill_strip_mm: float, clearance_mm: float
) -> _Cut:
    """The pattern cut for facing 0."""
    design, shape = pattern(slug, lattice), "whole" if form == "whole" else HALF_HANDS[0]
    inset_mm = strip_mm / 2 + clearance_mm
    if INRADIUS[lattice, form] * side_mm < inset_mm + RIM_MM + BEAD_MM:
        return _Cut(Polygon(), flaw=f"strips of {strip_mm:g} mm leave too small an opening in a {form} cell")
    opening = opening_polygon(lattice, shape, 0, side_mm, inset_mm)
    if form not in design.strokes:
        return _Cut(Polygon())
    material = stroke_material(design.strokes[form], side_mm, infill_strip_mm * design.strip_factor)
    material = _close_wedges(material.intersection(opening))
    rim = design.rim == "always" or (design.rim == "if needed" and not _hangs_together(material))
    if rim:
        inside = opening_polygon(lattice, shape, 0, side_mm, inset_mm + RIM_MM)
        material = _close_wedges(material.union(opening.difference(inside)))
    if not isinstance(material, Polygon) or not _hangs_together(material):
        return _Cut(Polygon(), flaw=f"the strokes of a {form} cell fall apart or join by less than a bead ({BEAD_MM:g} mm)")
    if _gaps(opening, material, BEAD_MM) < _gaps_drawn(design, form):
        return _Cut(Polygon(), flaw=f"a gap in a {form} cell is narrower than a bead ({BEAD_MM:g} mm)")
    return _Cut(shapely.orient_polygons(material.simplify(FINE_MM)), rim)


def _close_wedges(material: Polygon | MultiPolygon) -> Polygon | MultiPolygon:
    """Fill what is narrower than the nozzle: grow by half of it and shrink back. Growing with mitred corners keeps outer
    corners sharp; shrinking with round ones fills inner ones with the nozzle's own radius."""
    grown = material.buffer(NOZZLE_MM / 2, join_style="mitre")
    return grown.buffer(-NOZZLE_MM / 2, quad_segs=2)


def _hangs_together(material: Polygon | MultiPolygon) -> bool:
    """One part, and no neck in it narrower than a bead."""
    return isinstance(material.buffer(-BEAD_MM / 2, join_style="mitre"), Polygon) and not material.is_empty


def _gaps(opening: Polygon, material: Polygon | MultiPolygon, width_mm: float) -> int:
    """How many separate spaces the material leaves in the opening in which a circle of `width_mm` fits."""
    spaces = shapely.get_parts(opening.difference(material))
    return int((~shapely.is_empty(shapely.buffer(spaces, -width_mm / 2, join_style="mitre"))).sum())


def _gaps_drawn(design: Pattern, form: Form) -> int:
    """How many spaces the pattern shows when drawn in fine lines: a piece must keep them all."""
    return _gaps_of(design.lattice, form, design.strokes[form])


@lru_cache(maxsize=256)
def _gaps_of(lattice: LatticeKind, form: Form, strokes: tuple[Stroke, ...]) -> int:
    side, line = 1000.0, 1.0
    opening = opening_polygon(lattice, "whole" if form == "whole" else HALF_HANDS[0], 0, side, line)
    return _gaps(opening, stroke_material(strokes, side, line), 10 * line)


def _faced(outline: Polygon, design: Pattern, form: Form, facing: int) -> Polygon:
    """The outline for facing 0 placed as it faces."""
    across, up = {
        ("three-way", "whole"): ((1, 1), (-1, -1)),
        ("three-way", "half"): ((1, 1), (-1, 1), (1, -1), (-1, -1)),
        ("square", "whole"): ((1, 1), (-1, 1) if design.mirrored else (1, 1)),
    }[design.lattice, form][facing]
    placed: Polygon = shapely.orient_polygons(scale(outline, across, up, origin=(0, 0)))
    return placed


def _made_as(design: Pattern, shape: str, facing: int, outline: Polygon) -> str:
    """Names what is printed: turns of one outline share the name, a mirror image has its own unless it is also a turn."""
    name = f"{design.slug}, {shape}"
    if design.mirrored and facing == 1 and not _mirror_is_turn(outline):
        name += ", mirrored"
    return name


def _mirror_is_turn(outline: Polygon) -> bool:
    """Whether the mirror image of a square piece is the piece turned by some quarter turns."""
    mirrored = scale(outline, -1, 1, origin=(0, 0))
    turns = (shapely.affinity.rotate(outline, 90 * quarter, origin=(0, 0)) for quarter in range(4))
    return any(mirrored.symmetric_difference(turn).area < FINE_MM * outline.length for turn in turns)
