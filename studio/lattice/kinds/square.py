"""The square lattice: whole cells only, each about its centre. Facing is (column + row) % 2, so that patterns
can be mirrored like a chequerboard."""

from dataclasses import dataclass
from math import floor

import numpy as np

from studio.lattice.axis import Axis
from studio.lattice.kinds.kind import Addresses, Codes, Corners, Kind
from studio.lattice.kinds.patterns.square import PATTERNS
from studio.lattice.part import Nests
from studio.lattice.shapes import Shape

__all__ = ["SQUARE"]


@dataclass(frozen=True, eq=False, kw_only=True)
class _Square(Kind):
    def pitch(self, angle_deg: float) -> tuple[float, float]:
        return 1.0, 1.0

    def corners(self, shape: Shape, facing: int, side_mm: float, angle_deg: float) -> Corners:
        half = side_mm / 2
        corners = ((-half, -half), (half, -half), (half, half), (-half, half))
        return {("whole", 0): corners, ("whole", 1): corners}[shape, facing]

    def cut(self, column: Addresses, row: Addresses, across: Axis, up: Axis) -> tuple[Codes, Codes]:
        return np.zeros(len(row), np.int8), ((column + row) % 2).astype(np.int8)

    def at(self, u: float, v: float, across: Axis, up: Axis) -> tuple[int, int]:
        return min(floor(u), across.steps - 1), min(floor(v), up.steps - 1)

    def nests(self, shape: Shape) -> Nests:
        return "box"


SQUARE = _Square(
    name="square",
    spoken="square",
    remark="",
    nouns=(("column", "columns"), ("row", "rows")),
    hints=("", ""),
    least=(1, 1),
    angled=False,
    zigzag=(False, False),
    strips=((1, 0, 0), (0, 1, 0)),
    round_crossing=((-1, -1), (0, -1), (-1, 0), (0, 0)),
    turns={"whole": ((1, 1), (-1, 1))},
    turn_deg=90,
    family="square",
    turned=False,
    patterns=PATTERNS,
    usual=("square-hemp-leaf", "well-crib"),
)
