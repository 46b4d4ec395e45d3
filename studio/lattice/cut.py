"""A pattern cut for one form of cell: exact to the clearance, in one part, or the flaw that forbids it."""

from dataclasses import dataclass
from typing import NamedTuple, cast

import numpy as np
import shapely
from shapely import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from studio.lattice.cell import inradius, opening_polygon
from studio.lattice.pattern import CellForm, Pattern
from studio.lattice.shapes import shape_in
from studio.lattice.strokes import scale_of, stroke_material
from studio.memo import memo
from studio.voice import length, said

__all__ = [
    "BEAD_MM", "LEAST_STRIP_MM", "NOZZLE_MM", "RIM_MM", "Cut", "Sizes", "alike", "cut", "hangs_together",
]  # fmt: skip

NOZZLE_MM = 0.4
"""A wedge narrower than the nozzle fills up in printing, so it is filled in the drawing."""
BEAD_MM = 0.45
LEAST_STRIP_MM = 2 * BEAD_MM
"""A strip is printed as two walls at least."""
RIM_MM = 3 * BEAD_MM
CRUMB_MM2 = BEAD_MM**2
FINE_MM = 0.002
"""Points nearer than this to the line through their neighbours are dropped."""
GRID_MM = 1e-6
"""Cut on a grid, corners are the same or at least this far apart."""

NOTHING = Polygon()


class Sizes(NamedTuple):
    """Cell side between centre lines, face width of the ground strips, width of a piece's own strips before
    the pattern's factor, play on every side, and the angle of a diamond cell."""

    side_mm: float
    strip_mm: float
    infill_strip_mm: float
    clearance_mm: float
    angle_deg: float = 60.0


@dataclass(frozen=True, eq=False)
class Cut:
    """The outline for facing 0 (empty when the pattern leaves the cell open) and whether it has a rim; or, in
    plain words, the flaw that forbids printing it."""

    outline: Polygon = NOTHING
    rim: bool = False
    flaw: str = ""


@memo
@np.errstate(divide="ignore", invalid="ignore")  # raised inside the geometry library; its results are judged
def cut(design: Pattern, form: CellForm, sizes: Sizes) -> Cut:
    """Cut the pattern for a cell of facing 0: strokes given width, clipped to the opening less clearance,
    wedges closed, a rim where it needs one."""
    lattice, shape = design.lattice, shape_in(form, 0)
    inset_mm = sizes.strip_mm / 2 + sizes.clearance_mm
    if inradius(lattice, form, sizes.angle_deg) * sizes.side_mm < inset_mm + RIM_MM + BEAD_MM:
        return Cut(
            flaw=said("strips of {} leave too small an opening in a {} cell", length(sizes.strip_mm), form)
        )
    if not design.strokes(form):
        return Cut()
    opening = opening_polygon(lattice, shape, 0, sizes.side_mm, inset_mm, sizes.angle_deg)
    scale = scale_of(lattice, sizes.side_mm, sizes.angle_deg)
    material = stroke_material(design.strokes(form), scale, sizes.infill_strip_mm * design.strip_factor)
    if design.rim != "always":
        plain = _judged(material, False, opening, design, form, sizes.angle_deg)
        if not plain.flaw or design.rim == "never":
            return plain
    inside = opening_polygon(lattice, shape, 0, sizes.side_mm, inset_mm + RIM_MM, sizes.angle_deg)
    rimmed = material.union(opening.difference(inside))
    return _judged(rimmed, True, opening, design, form, sizes.angle_deg)


def _judged(
    material: BaseGeometry, rim: bool, opening: Polygon, design: Pattern, form: CellForm, angle_deg: float
) -> Cut:
    """The finished outline, unless it falls apart or has lost one of the pattern's gaps. A flaw must show on
    the grid as well: where cutting leaves corners a rounding error apart, the way between them is noise, and
    growing along it has lost whole gaps of sound pieces."""
    for grid_mm in (None, GRID_MM):
        found = _cut_to(opening, material, grid_mm)
        if not (flaw := _flaw(found, opening, design, form, angle_deg)):
            return Cut(shapely.orient_polygons(cast(Polygon, found.simplify(FINE_MM))), rim)
    return Cut(flaw=flaw)


def _flaw(material: BaseGeometry, opening: Polygon, design: Pattern, form: CellForm, angle_deg: float) -> str:
    if not hangs_together(material):
        apart = "the strokes of a {} cell fall apart or join by less than a bead ({})"
        return said(apart, form, length(BEAD_MM))
    if _gaps(opening, material, BEAD_MM) < _gaps_drawn(design, form, angle_deg):
        return said("a gap in a {} cell is narrower than a bead ({})", form, length(BEAD_MM))
    return ""


def _close_wedges(material: BaseGeometry) -> BaseGeometry:
    """Fill what is narrower than the nozzle: grow by half of it and shrink back. Growing with mitred corners
    keeps outer corners sharp; shrinking with round ones gives inner ones the nozzle's own radius."""
    grown = material.buffer(NOZZLE_MM / 2, join_style="mitre")
    return grown.buffer(-NOZZLE_MM / 2, quad_segs=4)


def _cut_to(opening: Polygon, material: BaseGeometry, grid_mm: float | None) -> BaseGeometry:
    """Cut the material to the opening, with its wedges closed (between thin tips that can reach out of it
    again), and drop loose bits smaller than a bead, which cutting leaves in the corners."""
    closed = _close_wedges(shapely.intersection(material, opening, grid_size=grid_mm))
    closed = shapely.intersection(closed, opening, grid_size=grid_mm)
    parts = shapely.get_parts(closed)
    kept = parts[shapely.area(parts) > CRUMB_MM2]
    return cast(BaseGeometry, kept[0]) if len(kept) == 1 else MultiPolygon(list(kept))


def hangs_together(material: BaseGeometry) -> bool:
    """One part, with no neck in it narrower than a bead, but for tips that would hardly be missed."""
    kept = shapely.get_parts(material.buffer(-BEAD_MM / 2, join_style="mitre"))
    return isinstance(material, Polygon) and int((shapely.area(kept) > CRUMB_MM2).sum()) == 1


def alike(first: Polygon, second: Polygon) -> bool:
    """Whether outlines are everywhere as near as FINE_MM. Overlaid on the grid: without one, the geometry
    library takes some that are a rounding error apart for altogether different ones."""
    apart = shapely.symmetric_difference(first, second, grid_size=GRID_MM)
    return bool(apart.area < FINE_MM * second.length)


def _gaps(opening: Polygon, material: BaseGeometry, width_mm: float) -> int:
    """How many separate spaces the material leaves in the opening in which a circle of `width_mm` fits. The
    material is grown by a hair, lest two spaces join where a strip ends on the opening's edge."""
    spaces = shapely.get_parts(opening.difference(material.buffer(FINE_MM, join_style="mitre")))
    return int((~shapely.is_empty(shapely.buffer(spaces, -width_mm / 2, join_style="mitre"))).sum())


@memo
def _gaps_drawn(design: Pattern, form: CellForm, angle_deg: float) -> int:
    """How many gaps the strokes show when drawn in fine lines: a piece must keep them all."""
    side_mm, line_mm = 1000.0, 1.0
    opening = opening_polygon(design.lattice, shape_in(form, 0), 0, side_mm, line_mm, angle_deg)
    scale = scale_of(design.lattice, side_mm, angle_deg)
    return _gaps(opening, stroke_material(design.strokes(form), scale, line_mm), 10 * line_mm)
