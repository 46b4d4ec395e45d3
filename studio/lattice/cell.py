"""The cells of each lattice in their own coordinates.

A cell's reference point is the middle of its column (three-way) or its centre (square); x to the right, y
up, mm.

Three-way, vertical family, side s, column width h = s*sqrt(3)/2: a whole cell spans x in [-h/2, h/2], y in
[-s/2, s/2]. Facing 0 has its upright side on the left (apex right), facing 1 on the right: one is the other
turned by 180 degrees. Half cells are whole cells cut at the panel's bottom (y >= 0 remains: facings 0, 1)
or top (y <= 0 remains: facings 2, 3 with the upright side left, right). Facings 0 and 3 are turns of each
other (left hand), as are 1 and 2 (right hand).

Square: whole cells only; facing is (column + row) % 2, so that patterns can be mirrored like a chequerboard.
"""

from functools import lru_cache
from math import sqrt

from shapely import Polygon

from studio.lattice.design import LatticeKind

__all__ = ["HALF_HANDS", "cell_corners", "cell_polygon"]

HALF_HANDS = {0: "half, left hand", 1: "half, right hand", 2: "half, right hand", 3: "half, left hand"}
"""Size class of a three-way half cell by its facing."""


def cell_corners(
    lattice: LatticeKind, shape: str, facing: int, side_mm: float
) -> tuple[tuple[float, float], ...]:
    """Corners between centre lines, anticlockwise. Raises ValueError for a shape that the lattice does not
    have."""
    s = side_mm
    if lattice == "square":
        if shape != "whole":
            raise ValueError(f"a square lattice has no {shape!r} cells")
        return ((-s / 2, -s / 2), (s / 2, -s / 2), (s / 2, s / 2), (-s / 2, s / 2))
    h = s * sqrt(3) / 2
    left, right = -h / 2, h / 2
    if shape == "whole":
        return {
            0: ((left, -s / 2), (right, 0.0), (left, s / 2)),
            1: ((right, s / 2), (left, 0.0), (right, -s / 2)),
        }[facing]
    if HALF_HANDS.get(facing) != shape:
        raise ValueError(f"a three-way lattice has no {shape!r} cell of facing {facing}")
    return {
        0: ((left, 0.0), (right, 0.0), (left, s / 2)),
        1: ((right, 0.0), (right, s / 2), (left, 0.0)),
        2: ((left, 0.0), (left, -s / 2), (right, 0.0)),
        3: ((right, 0.0), (left, 0.0), (right, -s / 2)),
    }[facing]


@lru_cache(maxsize=256)
def cell_polygon(lattice: LatticeKind, shape: str, facing: int, side_mm: float) -> Polygon:
    """`cell_corners` as a polygon."""
    return Polygon(cell_corners(lattice, shape, facing, side_mm))
