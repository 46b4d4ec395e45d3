"""The cells of each lattice in their own coordinates.

A cell's reference point is the middle of its column (three-way, vertical family), the middle of its row
(turned) or its centre (square, diamond); x to the right, y up, mm.

Three-way, vertical family, side s, column width h = s*sqrt(3)/2: a whole cell spans x in [-h/2, h/2], y in
[-s/2, s/2]. Facing 0 has its upright side on the left (apex right), facing 1 on the right: one is the other
turned by 180 degrees. Half cells are whole cells cut at the panel's bottom (y >= 0 remains: facings 0, 1)
or top (y <= 0 remains: facings 2, 3 with the upright side left, right). Facings 0 and 3 are turns of each
other (left hand), as are 1 and 2 (right hand).

Three-way turned: each cell is the one of the same facing, turned by 90 degrees anticlockwise: facing 0 has
its level side at the bottom (apex up), half cells are cut at the panel's right-hand (facings 0, 1) and
left-hand edge (facings 2, 3). Hands stay what they are.

Square: whole cells only; facing is (column + row) % 2, so that patterns can be mirrored like a chequerboard.

Diamond: a rhombus of side a, angle A at its left and right corners, diagonals 2a*cos(A/2) across and
2a*sin(A/2) up. Facing 0 and 1 of whole cells alternate like a chequerboard. A half cut level keeps y >= 0
(facing 0, at the panel's bottom) or y <= 0 (1, at the top); one cut upright keeps x >= 0 (0, at the left) or
x <= 0 (1, at the right). Quarters stand in the panel's corners: lower left 0, lower right 1, upper left 2,
upper right 3; 0 and 3 are turns of each other (left hand), as are 1 and 2 (right hand).
"""

from functools import lru_cache
from math import cos, radians, sin, sqrt

from shapely import Polygon

from studio.lattice.design import LatticeKind
from studio.lattice.shapes import HALF_HANDS, QUARTER_HANDS

__all__ = ["cell_corners", "cell_polygon", "half_diagonals"]

Corners = tuple[tuple[float, float], ...]


def half_diagonals(side_mm: float, angle_deg: float) -> tuple[float, float]:
    """Of a diamond cell: half its level and half its upright diagonal."""
    half = radians(angle_deg) / 2
    return side_mm * cos(half), side_mm * sin(half)


def cell_corners(
    lattice: LatticeKind, shape: str, facing: int, side_mm: float, angle_deg: float = 60.0
) -> Corners:
    """Corners between centre lines, anticlockwise; `angle_deg` matters to a diamond lattice alone. Raises
    ValueError for a shape or facing that the lattice does not have."""
    try:
        match lattice:
            case "square":
                return _square(shape, facing, side_mm)
            case "diamond":
                return _diamond(shape, facing, *half_diagonals(side_mm, angle_deg))
            case "three-way turned":
                return tuple((-y, x) for x, y in _three_way(shape, facing, side_mm))
        return _three_way(shape, facing, side_mm)
    except KeyError:
        raise ValueError(f"a {lattice} lattice has no {shape!r} cell of facing {facing}") from None


@lru_cache(maxsize=1024)
def cell_polygon(
    lattice: LatticeKind, shape: str, facing: int, side_mm: float, angle_deg: float = 60.0
) -> Polygon:
    """`cell_corners` as a polygon."""
    return Polygon(cell_corners(lattice, shape, facing, side_mm, angle_deg))


def _square(shape: str, facing: int, s: float) -> Corners:
    corners = ((-s / 2, -s / 2), (s / 2, -s / 2), (s / 2, s / 2), (-s / 2, s / 2))
    return {("whole", 0): corners, ("whole", 1): corners}[shape, facing]


def _three_way(shape: str, facing: int, s: float) -> Corners:
    h = s * sqrt(3) / 2
    left, right = -h / 2, h / 2
    if shape == "whole":
        return {
            0: ((left, -s / 2), (right, 0.0), (left, s / 2)),
            1: ((right, s / 2), (left, 0.0), (right, -s / 2)),
        }[facing]
    if HALF_HANDS[facing] != shape:
        raise KeyError(shape)
    return {
        0: ((left, 0.0), (right, 0.0), (left, s / 2)),
        1: ((right, 0.0), (right, s / 2), (left, 0.0)),
        2: ((left, 0.0), (left, -s / 2), (right, 0.0)),
        3: ((right, 0.0), (left, 0.0), (right, -s / 2)),
    }[facing]


def _diamond(shape: str, facing: int, across: float, up: float) -> Corners:
    left, right, low, high, middle = (-across, 0.0), (across, 0.0), (0.0, -up), (0.0, up), (0.0, 0.0)
    if shape.startswith("quarter") and QUARTER_HANDS[facing] != shape:
        raise KeyError(shape)
    return {
        ("whole", 0): (left, low, right, high),
        ("whole", 1): (left, low, right, high),
        ("half, cut level", 0): (left, right, high),
        ("half, cut level", 1): (right, left, low),
        ("half, cut upright", 0): (low, right, high),
        ("half, cut upright", 1): (high, left, low),
        ("quarter, left hand", 0): (middle, right, high),
        ("quarter, right hand", 1): (middle, high, left),
        ("quarter, right hand", 2): (middle, low, right),
        ("quarter, left hand", 3): (middle, left, low),
    }[shape, facing]
