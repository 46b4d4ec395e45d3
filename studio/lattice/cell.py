"""A cell of a lattice and its clear opening, which the strips leave free, in its own coordinates: x to the
right, y up, mm, from its reference point, which the file of its kind names."""

from shapely import Polygon

from studio.lattice.kinds import LatticeKind, kind_of
from studio.lattice.kinds.kind import Corners
from studio.lattice.shapes import CellForm, Shape, form_of
from studio.memo import memo
from studio.problem import Refused
from studio.voice import at_least, length, said

__all__ = ["cell_corners", "cell_polygon", "inradius", "opening_polygon"]


def cell_corners(
    lattice: LatticeKind, shape: Shape, facing: int, side_mm: float, angle_deg: float = 60.0
) -> Corners:
    """Corners between centre lines, anticlockwise; `angle_deg` matters to a diamond lattice alone. Raises
    ValueError for a shape or facing that the lattice does not have."""
    try:
        return kind_of(lattice).corners(shape, facing, side_mm, angle_deg)
    except KeyError:
        raise ValueError(f"a {lattice} lattice has no {shape!r} cell of facing {facing}") from None


@memo
def cell_polygon(
    lattice: LatticeKind, shape: Shape, facing: int, side_mm: float, angle_deg: float = 60.0
) -> Polygon:
    """`cell_corners` as a polygon."""
    return Polygon(cell_corners(lattice, shape, facing, side_mm, angle_deg))


@memo
def inradius(lattice: LatticeKind, form: CellForm, angle_deg: float = 60.0) -> float:
    """Radius of the largest circle in a cell, in cell sides: of a triangle with sides a, b, c twice its area
    over a + b + c; of a rhombus its area over twice its side, sin(angle)/2."""
    return kind_of(lattice).inradius(form, angle_deg)


@memo
def opening_polygon(
    lattice: LatticeKind, shape: Shape, facing: int, side_mm: float, inset_mm: float, angle_deg: float = 60.0
) -> Polygon:
    """The cell inset by `inset_mm` from the centre lines on every side, the cut side of a half cell too, in
    the cell's own coordinates (mm, anticlockwise). Half a strip's face width gives the clear opening.

    A cell that touches a circle on all its sides is shrunk towards that circle's centre: a triangle keeps the
    side s - 2*sqrt(3)*inset, a square s - 2*inset, a rhombus a - 2*inset/sin(angle). Raises Refused when
    nothing is left, ValueError for a shape or facing that the lattice does not have.
    """
    corners = cell_corners(lattice, shape, facing, side_mm, angle_deg)
    radius = inradius(lattice, form_of(shape), angle_deg) * side_mm
    if inset_mm >= radius:
        raise Refused.because(
            "design.cell_side_mm",
            said("strips and clearance take up the whole of a cell with a side of {}", length(side_mm)),
            said("a side of more than {}, or narrower strips", at_least(side_mm * inset_mm / radius, 1)),
        )
    return Polygon(kind_of(lattice).inset(corners, inset_mm, radius))
