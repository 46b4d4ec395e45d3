"""A pattern cut for one form of cell: exact to the clearance, in one part, or the flaw that forbids it."""

from dataclasses import dataclass
from functools import lru_cache
from typing import Literal, NamedTuple, cast

import numpy as np
import shapely
from shapely import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from studio.lattice.cell import HALF_HANDS
from studio.lattice.design import LatticeKind
from studio.lattice.opening import INRADIUS, opening_polygon
from studio.lattice.pattern import Pattern, Stroke
from studio.lattice.patterns import pattern
from studio.lattice.strokes import stroke_material

__all__ = ["BEAD_MM", "FINE_MM", "LEAST_STRIP_MM", "NOZZLE_MM", "RIM_MM", "Cut", "Form", "Sizes", "cut"]

NOZZLE_MM = 0.4
"""A wedge narrower than the nozzle fills up in printing, so it is filled in the drawing."""
BEAD_MM = 0.45
LEAST_STRIP_MM = 2 * BEAD_MM
"""A strip is printed as two walls at least."""
RIM_MM = 3 * BEAD_MM
CRUMB_MM2 = BEAD_MM**2
FINE_MM = 0.002
"""Points nearer than this to the line through their neighbours are dropped."""

NOTHING = Polygon()
Form = Literal["whole", "half"]


class Sizes(NamedTuple):
    """Cell side between centre lines, face width of the ground strips, width of a piece's own strips before
    the pattern's factor, and play on every side."""

    side_mm: float
    strip_mm: float
    infill_strip_mm: float
    clearance_mm: float


@dataclass(frozen=True, eq=False)
class Cut:
    """The outline for facing 0 (empty when the pattern leaves the cell open) and whether it has a rim; or, in
    plain words, the flaw that forbids printing it."""

    outline: Polygon = NOTHING
    rim: bool = False
    flaw: str = ""


@lru_cache(maxsize=4096)
@np.errstate(
    divide="ignore", invalid="ignore"
)  # raised inside the geometry library, whose results are judged
def cut(slug: str, lattice: LatticeKind, form: Form, sizes: Sizes) -> Cut:
    """Cut the pattern for a cell of facing 0: strokes given width, clipped to the opening less clearance,
    wedges closed, a rim where it needs one."""
    design, shape = pattern(slug, lattice), _shape(form)
    inset_mm = sizes.strip_mm / 2 + sizes.clearance_mm
    if INRADIUS[lattice, form] * sizes.side_mm < inset_mm + RIM_MM + BEAD_MM:
        return Cut(flaw=f"strips of {sizes.strip_mm:g} mm leave too small an opening in a {form} cell")
    if not design.strokes:
        return Cut()
    opening = opening_polygon(lattice, shape, 0, sizes.side_mm, inset_mm)
    material = stroke_material(
        design.strokes[form], sizes.side_mm, sizes.infill_strip_mm * design.strip_factor
    )
    material = _cut_to(opening, material)
    rim = design.rim == "always" or (design.rim == "if needed" and not _hangs_together(material))
    if rim:
        inside = opening_polygon(lattice, shape, 0, sizes.side_mm, inset_mm + RIM_MM)
        material = _cut_to(opening, material.union(opening.difference(inside)))
    return _judged(material, rim, opening, design, form)


def _judged(material: BaseGeometry, rim: bool, opening: Polygon, design: Pattern, form: Form) -> Cut:
    """The finished outline, unless it falls apart or has lost one of the pattern's gaps."""
    if not _hangs_together(material):
        return Cut(
            flaw=f"the strokes of a {form} cell fall apart or join by less than a bead ({BEAD_MM:g} mm)"
        )
    if _gaps(opening, material, BEAD_MM) < _gaps_drawn(design.lattice, form, design.strokes[form]):
        return Cut(flaw=f"a gap in a {form} cell is narrower than a bead ({BEAD_MM:g} mm)")
    outline = cast(Polygon, material.simplify(FINE_MM))
    return Cut(shapely.orient_polygons(outline), rim)


def _shape(form: Form) -> str:
    return "whole" if form == "whole" else HALF_HANDS[0]


def _close_wedges(material: BaseGeometry) -> BaseGeometry:
    """Fill what is narrower than the nozzle: grow by half of it and shrink back. Growing with mitred corners
    keeps outer corners sharp; shrinking with round ones gives inner ones the nozzle's own radius."""
    grown = material.buffer(NOZZLE_MM / 2, join_style="mitre")
    return grown.buffer(-NOZZLE_MM / 2, quad_segs=4)


def _cut_to(opening: Polygon, material: BaseGeometry) -> BaseGeometry:
    """Cut the material to the opening, with its wedges closed (between thin tips that can reach out of it
    again), and drop loose bits smaller than a bead, which cutting leaves in the corners."""
    closed = _close_wedges(material.intersection(opening)).intersection(opening)
    parts = shapely.get_parts(closed)
    kept = parts[shapely.area(parts) > CRUMB_MM2]
    return cast(BaseGeometry, kept[0]) if len(kept) == 1 else MultiPolygon(list(kept))


def _hangs_together(material: BaseGeometry) -> bool:
    """One part, with no neck in it narrower than a bead, but for tips that would hardly be missed."""
    kept = shapely.get_parts(material.buffer(-BEAD_MM / 2, join_style="mitre"))
    return isinstance(material, Polygon) and int((shapely.area(kept) > CRUMB_MM2).sum()) == 1


def _gaps(opening: Polygon, material: BaseGeometry, width_mm: float) -> int:
    """How many separate spaces the material leaves in the opening in which a circle of `width_mm` fits. The
    material is grown by a hair, lest two spaces join where a strip ends on the opening's edge."""
    spaces = shapely.get_parts(opening.difference(material.buffer(FINE_MM, join_style="mitre")))
    return int((~shapely.is_empty(shapely.buffer(spaces, -width_mm / 2, join_style="mitre"))).sum())


@lru_cache(maxsize=256)
def _gaps_drawn(lattice: LatticeKind, form: Form, strokes: tuple[Stroke, ...]) -> int:
    """How many gaps the strokes show when drawn in fine lines: a piece must keep them all."""
    side_mm, line_mm = 1000.0, 1.0
    opening = opening_polygon(lattice, _shape(form), 0, side_mm, line_mm)
    return _gaps(opening, stroke_material(strokes, side_mm, line_mm), 10 * line_mm)
