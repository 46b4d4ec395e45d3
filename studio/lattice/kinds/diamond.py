"""The diamond lattice (hishi): rhombi of side a, with the angle A at their left and right corners; diagonals
2a*cos(A/2) across and 2a*sin(A/2) up.

p x q boxes have columns 0 to 2p and rows 0 to 2q, and a cell where column + row is even: halves at the
panel's edges, quarters in its corners, each about the centre of the whole cell that it is cut from. Facing 0
and 1 of whole cells alternate like a chequerboard. A half cut level keeps y >= 0 (facing 0, at the panel's
bottom) or y <= 0 (1, at the top); one cut upright keeps x >= 0 (0, at the left) or x <= 0 (1, at the right).
Quarters: lower left 0, lower right 1, upper left 2, upper right 3; 0 and 3 are turns of each other (left
hand), as are 1 and 2 (right hand).
"""

from dataclasses import dataclass
from math import cos, floor, radians, sin

import numpy as np

from studio.lattice.axis import Axis
from studio.lattice.kinds.kind import Addresses, Codes, Corners, Kind
from studio.lattice.kinds.patterns.diamond import PATTERNS
from studio.lattice.part import Nests
from studio.lattice.shapes import QUARTER_HANDS, SHAPES, Shape

__all__ = ["DIAMOND"]

_QUARTER_SHAPE = np.array([SHAPES.index(shape) for shape in QUARTER_HANDS], dtype=np.int8)
_LEVEL, _UPRIGHT = SHAPES.index("half, cut level"), SHAPES.index("half, cut upright")


@dataclass(frozen=True, eq=False, kw_only=True)
class _Diamond(Kind):
    def pitch(self, angle_deg: float) -> tuple[float, float]:
        return 2 * cos(radians(angle_deg) / 2), 2 * sin(radians(angle_deg) / 2)

    def corners(self, shape: Shape, facing: int, side_mm: float, angle_deg: float) -> Corners:
        across, up = _half_diagonals(side_mm, angle_deg)
        left, right, low, high, middle = (-across, 0.0), (across, 0.0), (0.0, -up), (0.0, up), (0.0, 0.0)
        return {
            ("whole", 0): (left, low, right, high),
            ("whole", 1): (left, low, right, high),
            ("half, cut level", 0): (left, right, high),
            ("half, cut level", 1): (right, left, low),
            ("half, cut upright", 0): (low, right, high),
            ("half, cut upright", 1): (high, left, low),
            (QUARTER_HANDS[0], 0): (middle, right, high),
            (QUARTER_HANDS[1], 1): (middle, high, left),
            (QUARTER_HANDS[2], 2): (middle, low, right),
            (QUARTER_HANDS[3], 3): (middle, left, low),
        }[shape, facing]

    def cut(self, column: Addresses, row: Addresses, across: Axis, up: Axis) -> tuple[Codes, Codes]:
        last_column, last_row = column == across.steps, row == up.steps
        level, upright = (row == 0) | last_row, (column == 0) | last_column
        facing = np.where(level, last_row, np.where(upright, last_column, 1 - column % 2))
        corner = level & upright
        facing = np.where(corner, last_column + 2 * last_row, facing).astype(np.int8)
        shape = np.where(level, _LEVEL, np.where(upright, _UPRIGHT, 0))
        return np.where(corner, _QUARTER_SHAPE[facing], shape).astype(np.int8), facing

    def at(self, u: float, v: float, across: Axis, up: Axis) -> tuple[int, int]:
        u, v = _within(u, across.steps), _within(v, up.steps)
        along, against = 2 * floor((u + v + 1) / 2), 2 * floor((u - v + 1) / 2)
        return (along + against) // 2, (along - against) // 2

    def nests(self, shape: Shape) -> Nests:
        return "rhombus" if shape == "whole" else "triangle"

    def units_mm(self, side_mm: float, angle_deg: float) -> tuple[float, float, float]:
        """Half diagonals, and radii of the circle within a whole cell: sin(angle)/2 sides."""
        return *_half_diagonals(side_mm, angle_deg), self.inradius("whole", angle_deg) * side_mm


def _half_diagonals(side_mm: float, angle_deg: float) -> tuple[float, float]:
    half = radians(angle_deg) / 2
    return side_mm * cos(half), side_mm * sin(half)


def _within(step: float, steps: int) -> float:
    """A hair inside the edge, where cells beyond it would be as near."""
    return min(max(step, 1e-9), steps - 1e-9)


_BOX = ("box", "boxes")

DIAMOND = _Diamond(
    name="diamond",
    spoken="diamond",
    remark="",
    nouns=(_BOX, _BOX),
    hints=("Whole cells side by side.", "Whole cells one above the other."),
    least=(1, 1),
    angled=True,
    zigzag=(True, True),
    strips=((0.5, 0.5, 0.5), (0.5, -0.5, 0.5)),
    round_crossing=((-1, 0), (1, 0), (0, -1), (0, 1)),
    turns={
        "whole": ((1, 1), (-1, 1)),
        "half level": ((1, 1), (-1, -1)),
        "half upright": ((1, 1), (-1, -1)),
        "quarter": ((1, 1), (-1, 1), (1, -1), (-1, -1)),
    },
    turn_deg=180,
    family="diamond",
    turned=False,
    patterns=PATTERNS,
    usual=("crossed-diamond", "diamond-leaf"),
)
