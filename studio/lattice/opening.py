"""The clear opening of a cell: what the strips leave free."""

from functools import lru_cache
from math import dist

from shapely import Polygon

from studio.lattice.cell import cell_corners, cell_polygon
from studio.lattice.design import LatticeKind
from studio.lattice.pattern import Form
from studio.lattice.shapes import form_of, shapes_of
from studio.problem import Refused

__all__ = ["inradius", "opening_polygon"]


@lru_cache(maxsize=1024)
def inradius(lattice: LatticeKind, form: Form, angle_deg: float = 60.0) -> float:
    """Radius of the circle that touches every side of a cell, in cell sides: of a triangle with sides a, b, c
    twice its area over a + b + c; of a rhombus its area over twice its side, sin(angle)/2."""
    shape, facing = next(each for each in shapes_of(lattice) if form_of(each[0]) == form)
    cell = cell_polygon(lattice, shape, facing, 1.0, angle_deg)
    return float(2 * cell.area / cell.length)


@lru_cache(maxsize=1024)
def opening_polygon(
    lattice: LatticeKind, shape: str, facing: int, side_mm: float, inset_mm: float, angle_deg: float = 60.0
) -> Polygon:
    """The cell inset by `inset_mm` from the centre lines on every side, the cut side of a half cell too, in
    the cell's own coordinates (mm, anticlockwise). Half a strip's face width gives the clear opening.

    Every cell touches a circle on all its sides, so the inset is the cell shrunk towards that circle's
    centre: a triangle keeps the side s - 2*sqrt(3)*inset, a square s - 2*inset, a rhombus
    a - 2*inset/sin(angle). Raises Refused when nothing
    is left, ValueError for a shape or facing that the lattice does not have.
    """
    corners = cell_corners(lattice, shape, facing, side_mm, angle_deg)
    radius = inradius(lattice, form_of(shape), angle_deg) * side_mm
    if inset_mm >= radius:
        raise Refused.because(
            "design.cell_side_mm",
            f"strips and clearance take up the whole of a cell with a side of {side_mm:g} mm",
            f"a side of more than {side_mm * inset_mm / radius:.1f} mm, or narrower strips",
        )
    x, y = _incentre(corners)
    scale = 1 - inset_mm / radius
    return Polygon([(x + (px - x) * scale, y + (py - y) * scale) for px, py in corners])


def _incentre(corners: tuple[tuple[float, float], ...]) -> tuple[float, float]:
    """Of a triangle: its corners weighted by the opposite sides; of a square or a rhombus: its middle."""
    weights = [1.0] * len(corners)
    if len(corners) == 3:
        weights = [dist(corners[i - 2], corners[i - 1]) for i in range(3)]
    total = sum(weights)
    x, y = (sum(w * c[k] for w, c in zip(weights, corners, strict=True)) / total for k in (0, 1))
    return x, y
