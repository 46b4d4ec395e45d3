"""What a kind of lattice is: whatever differs between kinds, in one object."""

from abc import ABC, abstractmethod
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from math import dist
from typing import TYPE_CHECKING, Annotated

import numpy as np
from numpy.typing import NDArray
from pydantic import BeforeValidator
from pydantic_core import PydanticCustomError
from shapely import Polygon

from studio.lattice.axis import Axis
from studio.lattice.part import Nests
from studio.lattice.shapes import CellForm, Shape, shape_in

if TYPE_CHECKING:  # patterns name their lattice, so that their module comes after this one
    from studio.lattice.pattern import Pattern

__all__ = [
    "KINDS", "Addresses", "Codes", "Corners", "Family", "Kind", "LatticeKind", "Nouns", "kind_of", "kinds",
]  # fmt: skip

Corners = tuple[tuple[float, float], ...]
Addresses = NDArray[np.int32]
Codes = NDArray[np.int8]
Nouns = tuple[str, str]
"""Singular and plural."""
Pair = tuple[int, int]
USUAL_ANGLE_DEG = 60.0


@dataclass(frozen=True, eq=False, kw_only=True)
class Kind(ABC):
    """One kind of lattice. Lengths are cell sides or mm, x to the right, y up; an address is (column, row)
    from the lower left, a step that of an axis (axis.py). Each part is asked for: a kind that lacks one
    cannot be made.

    `name` is what documents say and `spoken` what people do; `remark` follows the cells in a sentence.
    `nouns` are what columns and rows count, `hints` say it where the noun does not. `least` are the columns
    and rows that hold one whole cell. `angled`: a design chooses the angle of its cells.

    `zigzag`: whether the lines between columns, and those between rows, go to and fro; where both do, only
    every other address is a cell. `strips` are the families of strips (p, q, r): p * steps across + q * steps
    up + r is whole on a strip, and one more on the next. `round_crossing` are the whole cells round a
    crossing, counted from its steps. `turns` has, for each form of cell, the signs of x and y that carry
    facing 0 to each facing; whole cells of facing 1 may be mirror images, which only patterns that ask for it
    show. `turn_deg` is the least turn that carries whole cells onto whole cells.

    `family` names the kind whose cells and patterns it shares, its own name or that of the kind that it is
    turned from, by a quarter anticlockwise (`turned`). `usual` are the slugs of a pattern for the field and
    one for the border, where nobody chose."""

    name: str
    spoken: str
    remark: str
    nouns: tuple[Nouns, Nouns]
    hints: tuple[str, str]
    least: Pair
    angled: bool
    zigzag: tuple[bool, bool]
    strips: tuple[tuple[float, float, float], ...]
    round_crossing: tuple[Pair, ...]
    turns: Mapping[CellForm, tuple[Pair, ...]]
    turn_deg: int
    family: str
    turned: bool
    patterns: "tuple[Pattern, ...]"
    usual: tuple[str, str]

    @abstractmethod
    def pitch(self, angle_deg: float) -> tuple[float, float]:
        """Width of what columns count and height of what rows count, in cell sides."""

    @abstractmethod
    def corners(self, shape: Shape, facing: int, side_mm: float, angle_deg: float) -> Corners:
        """Of a cell between centre lines, anticlockwise, from its reference point. Raises KeyError for a
        shape or facing that there is not."""

    @abstractmethod
    def cut(self, column: Addresses, row: Addresses, across: Axis, up: Axis) -> tuple[Codes, Codes]:
        """Shape (index into SHAPES) and facing of every cell, (n,) and (n,)."""

    @abstractmethod
    def at(self, u: float, v: float, across: Axis, up: Axis) -> Pair:
        """Address of the cell at a point within the panel, given in steps."""

    @abstractmethod
    def nests(self, shape: Shape) -> Nests:
        """How pieces of this shape lie on a bed."""

    @property
    def every_other(self) -> bool:
        """Whether every other address is a cell, those whose column and row add up to an even number."""
        return all(self.zigzag)

    @property
    def straight(self) -> bool:
        """Whether all lines run straight, and strips cross at every step."""
        return not any(self.zigzag)

    @property
    def forms(self) -> tuple[CellForm, ...]:
        return tuple(self.turns)

    @property
    def shapes(self) -> tuple[tuple[Shape, int], ...]:
        """Every shape with each of its facings."""
        return tuple((shape_in(form, i), i) for form, turns in self.turns.items() for i in range(len(turns)))

    @property
    def counts(self) -> str:
        """What columns and rows count: "columns × half sides", "boxes"."""
        return " × ".join(dict.fromkeys(plural for _, plural in self.nouns))

    def counted(self, columns: int, rows: int) -> str:
        """Such as "26 columns × 33 half sides"."""
        first, second = (plural for _, plural in self.nouns)
        return f"{columns} × {rows} {second}" if first == second else f"{columns} {first} × {rows} {second}"

    def angle_deg(self, wanted: Decimal) -> float:
        """The angle of a cell for the one that a design has; the usual one where it has no say."""
        return float(wanted) if self.angled else USUAL_ANGLE_DEG

    def axes(self, columns: int, rows: int, side_mm: float, angle_deg: float) -> tuple[Axis, Axis]:
        """Across and up. Where lines zigzag both ways, what is counted is two steps."""
        each = 1 + self.every_other
        across_mm, up_mm = (unit * side_mm for unit in self.pitch(angle_deg))
        return (
            Axis(each * columns, across_mm / each, self.zigzag[0]),
            Axis(each * rows, up_mm / each, self.zigzag[1]),
        )

    def inradius(self, form: CellForm, angle_deg: float) -> float:
        """Radius of the largest circle in a cell, in cell sides. Where it touches every side, twice the area
        over the sum of the sides; a kind with other cells has a rule of its own, and one for `inset`."""
        cell = Polygon(self.corners(shape_in(form, 0), 0, 1.0, angle_deg))
        return float(2 * cell.area / cell.length)

    def inset(self, corners: Corners, inset_mm: float, radius_mm: float) -> Corners:
        """A cell drawn in on every side, by less than the radius of its circle: shrunk towards its centre."""
        x, y = _incentre(corners)
        scale = 1 - inset_mm / radius_mm
        return tuple((x + (px - x) * scale, y + (py - y) * scale) for px, py in corners)

    def units_mm(self, side_mm: float, angle_deg: float) -> tuple[float, float, float]:
        """What a pattern's units of x, y and radius stand for."""
        return side_mm, side_mm, side_mm


def _incentre(corners: Corners) -> tuple[float, float]:
    """Of a triangle: its corners weighted by the opposite sides; of a square or a rhombus: its middle."""
    weights = [1.0] * len(corners)
    if len(corners) == 3:
        weights = [dist(corners[i - 2], corners[i - 1]) for i in range(3)]
    total = sum(weights)
    x, y = (sum(w * c[k] for w, c in zip(weights, corners, strict=True)) / total for k in (0, 1))
    return x, y


KINDS: dict[str, Kind] = {}
"""Every kind by its name, in the order in which they are offered; filled by studio.lattice.kinds."""


def kind_of(lattice: str) -> Kind:
    """The kind of this name, which a document was read with."""
    return KINDS[lattice]


def kinds() -> tuple[Kind, ...]:
    return tuple(KINDS.values())


def _known(names: Callable[[], Iterable[str]]) -> BeforeValidator:
    """A name of those that there are now, refused as any other choice in a document."""

    def check(value: object) -> object:
        known = tuple(names())
        if value not in known:
            *first, last = map(repr, known)
            said = {"expected": f"{', '.join(first)} or {last}"}
            raise PydanticCustomError("literal_error", "Input should be {expected}", said)
        return value

    return BeforeValidator(check)


LatticeKind = Annotated[str, _known(lambda: KINDS)]
"""The name of a kind, as a design has it."""
Family = Annotated[str, _known(lambda: dict.fromkeys(kind.family for kind in kinds()))]
"""The name of the kinds that share their patterns: a turned three-way lattice uses the three-way ones."""
