"""The three-way lattice (mitsukude): triangles, with a family of upright strips; turned, of level ones.

A cell's reference point is the middle of its column. With the side s and columns h = s*sqrt(3)/2 wide, a
whole cell spans x in [-h/2, h/2], y in [-s/2, s/2]. Facing 0 has its upright side on the left (apex right),
facing 1 on the right: one is the other turned by 180 degrees; the left side is upright where column + row is
odd. Half cells are whole cells cut at the panel's bottom (y >= 0 remains: facings 0, 1) or top (y <= 0
remains: facings 2, 3 with the upright side left, right): the first row and the last. Facings 0 and 3 are
turns of each other (left hand), as are 1 and 2 (right hand).

Turned: each cell is the one of the same facing, turned by 90 degrees anticlockwise, its reference point the
middle of its row: facing 0 has its level side at the bottom (apex up), half cells are cut at the panel's
right-hand (facings 0, 1) and left-hand edge (facings 2, 3), the last column and the first. Hands stay what
they are.
"""

from dataclasses import dataclass
from math import floor, sqrt

import numpy as np
from numpy.typing import NDArray

from studio.lattice.axis import Axis
from studio.lattice.kinds.kind import Addresses, Codes, Corners, Kind
from studio.lattice.kinds.patterns.three_way import PATTERNS
from studio.lattice.part import Nests
from studio.lattice.shapes import HALF_HANDS, SHAPES, Shape

__all__ = ["THREE_WAY", "THREE_WAY_TURNED"]

_HALF_SHAPE = np.array([SHAPES.index(shape) for shape in HALF_HANDS], dtype=np.int8)


@dataclass(frozen=True, eq=False, kw_only=True)
class _ThreeWay(Kind):
    def pitch(self, angle_deg: float) -> tuple[float, float]:
        return sqrt(3) / 2, 0.5

    def corners(self, shape: Shape, facing: int, side_mm: float, angle_deg: float) -> Corners:
        right, high = side_mm * sqrt(3) / 2 / 2, side_mm / 2
        left = -right
        return {
            ("whole", 0): ((left, -high), (right, 0.0), (left, high)),
            ("whole", 1): ((right, high), (left, 0.0), (right, -high)),
            (HALF_HANDS[0], 0): ((left, 0.0), (right, 0.0), (left, high)),
            (HALF_HANDS[1], 1): ((right, 0.0), (right, high), (left, 0.0)),
            (HALF_HANDS[2], 2): ((left, 0.0), (left, -high), (right, 0.0)),
            (HALF_HANDS[3], 3): ((right, 0.0), (left, 0.0), (right, -high)),
        }[shape, facing]

    def cut(self, column: Addresses, row: Addresses, across: Axis, up: Axis) -> tuple[Codes, Codes]:
        return _cut(column + row, row == 0, row == up.steps, turned=False)

    def at(self, u: float, v: float, across: Axis, up: Axis) -> tuple[int, int]:
        return _at(u, v, across.steps, up.steps)

    def nests(self, shape: Shape) -> Nests:
        return "triangle"


@dataclass(frozen=True, eq=False, kw_only=True)
class _Turned(_ThreeWay):
    def pitch(self, angle_deg: float) -> tuple[float, float]:
        wide, high = super().pitch(angle_deg)
        return high, wide

    def corners(self, shape: Shape, facing: int, side_mm: float, angle_deg: float) -> Corners:
        return tuple((-y, x) for x, y in super().corners(shape, facing, side_mm, angle_deg))

    def cut(self, column: Addresses, row: Addresses, across: Axis, up: Axis) -> tuple[Codes, Codes]:
        return _cut(column + row, column == 0, column == across.steps, turned=True)

    def at(self, u: float, v: float, across: Axis, up: Axis) -> tuple[int, int]:
        row, column = _at(v, u, up.steps, across.steps)
        return column, row


def _cut(
    place: Addresses, first: NDArray[np.bool_], last: NDArray[np.bool_], *, turned: bool
) -> tuple[Codes, Codes]:
    """`place` is column + row; `first` and `last` are the two edges that cut cells in half."""
    facing = ((place + 1) % 2 + 2 * (first if turned else last)).astype(np.int8)
    return np.where(first | last, _HALF_SHAPE[facing], np.int8(0)), facing


def _at(u: float, v: float, columns: int, rows: int) -> tuple[int, int]:
    column, row = min(floor(u), columns - 1), min(floor(v), rows - 1)
    rises = (column + row) % 2 == 0  # the side between cells `row` and `row + 1` goes up from left to right
    share = u - column if rises else 1 - (u - column)
    return column, row + (v - row > share)


_HANDED = ((1, 1), (-1, 1), (1, -1), (-1, -1))
_COLUMN, _ROW, _HALF_SIDE = ("column", "columns"), ("row", "rows"), ("half side", "half sides")

THREE_WAY = _ThreeWay(
    name="three-way",
    spoken="three-way",
    remark="",
    nouns=(_COLUMN, _HALF_SIDE),
    hints=("", "Half sides along the upright strips."),
    least=(1, 2),
    angled=False,
    zigzag=(False, True),
    strips=((1, 0, 0), (0.5, 0.5, 0), (0.5, -0.5, 0)),
    round_crossing=((0, 1), (0, -1), (0, 0), (-1, 1), (-1, -1), (-1, 0)),
    turns={"whole": ((1, 1), (-1, -1)), "half": _HANDED},
    turn_deg=180,
    family="three-way",
    turned=False,
    patterns=PATTERNS,
    usual=("hemp-leaf", "basket-weave"),
)
THREE_WAY_TURNED = _Turned(
    name="three-way turned",
    spoken="turned three-way",
    remark="with level strips",
    nouns=(_HALF_SIDE, _ROW),
    hints=("Half sides along the level strips.", ""),
    least=(2, 1),
    angled=False,
    zigzag=(True, False),
    strips=((0, 1, 0), (0.5, 0.5, 0), (0.5, -0.5, 0)),
    round_crossing=((-1, 0), (1, 0), (0, 0), (-1, -1), (1, -1), (0, -1)),
    turns=THREE_WAY.turns,
    turn_deg=180,
    family="three-way",
    turned=True,
    patterns=PATTERNS,
    usual=THREE_WAY.usual,
)
