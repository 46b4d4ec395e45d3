"""A fifth lattice, made up for tests: cells two sides wide and one high, and two patterns. Unlike
those of the four kinds that there are, its cells touch no one circle on every side, and are not alike both
ways."""

from dataclasses import dataclass
from math import copysign, floor

import numpy as np

from studio.lattice.axis import Axis
from studio.lattice.kinds.kind import Addresses, Codes, Corners, Kind
from studio.lattice.part import Nests
from studio.lattice.pattern import Line, Pattern
from studio.lattice.shapes import CellForm, Shape

__all__ = ["DOMINO"]

CROSS = Pattern(
    slug="lying-cross",
    name="Lying cross",
    shows="A level bar and an upright one.",
    lattice="domino",
    whole=(Line(points=((-1.0, 0.0), (1.0, 0.0))), Line(points=((0.0, -0.5), (0.0, 0.5)))),
)
STROKE = Pattern(
    slug="lying-stroke",
    name="Lying stroke",
    shows="A bar from corner to corner, the other way in the next cell.",
    lattice="domino",
    whole=(Line(points=((-1.0, -0.5), (1.0, 0.5))),),
    mirrored=True,
)


@dataclass(frozen=True, eq=False, kw_only=True)
class _Domino(Kind):
    def pitch(self, angle_deg: float) -> tuple[float, float]:
        return 2.0, 1.0

    def corners(self, shape: Shape, facing: int, side_mm: float, angle_deg: float) -> Corners:
        wide, high = side_mm, side_mm / 2
        corners = ((-wide, -high), (wide, -high), (wide, high), (-wide, high))
        return {("whole", 0): corners, ("whole", 1): corners}[shape, facing]

    def cut(self, column: Addresses, row: Addresses, across: Axis, up: Axis) -> tuple[Codes, Codes]:
        return np.zeros(len(row), np.int8), ((column + row) % 2).astype(np.int8)

    def at(self, u: float, v: float, across: Axis, up: Axis) -> tuple[int, int]:
        return min(floor(u), across.steps - 1), min(floor(v), up.steps - 1)

    def nests(self, shape: Shape) -> Nests:
        return "box"

    def inradius(self, form: CellForm, angle_deg: float) -> float:
        return 0.5

    def inset(self, corners: Corners, inset_mm: float, radius_mm: float) -> Corners:
        return tuple((x - copysign(inset_mm, x), y - copysign(inset_mm, y)) for x, y in corners)


DOMINO = _Domino(
    name="domino",
    spoken="domino",
    remark="two sides wide",
    nouns=(("column", "columns"), ("course", "courses")),
    hints=("Two sides each.", ""),
    least=(1, 1),
    angled=False,
    zigzag=(False, False),
    strips=((1, 0, 0), (0, 1, 0)),
    round_crossing=((-1, -1), (0, -1), (-1, 0), (0, 0)),
    turns={"whole": ((1, 1), (-1, 1))},
    turn_deg=180,
    family="domino",
    turned=False,
    patterns=(CROSS, STROKE),
    usual=("lying-cross", "lying-stroke"),
)
