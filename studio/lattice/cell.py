"""A cell of a lattice in its own coordinates: x to the right, y up, mm, from its reference point, which the
file of its kind names."""

from shapely import Polygon

from studio.lattice.kinds import LatticeKind, kind_of
from studio.lattice.kinds.kind import Corners
from studio.lattice.shapes import Shape
from studio.memo import memo

__all__ = ["cell_corners", "cell_polygon"]


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
