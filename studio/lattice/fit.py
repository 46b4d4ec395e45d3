"""How a lattice of whole cells fits an opening."""

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from studio.lattice.axis import Axis
from studio.lattice.design import Design, LatticeKind, Space
from studio.lattice.infills import infills_of
from studio.lattice.kinds import Kind, kind_of
from studio.lattice.kinds.kind import Nouns
from studio.lattice.patterns import pattern_of
from studio.lattice.piece import piece_for
from studio.memo import memo
from studio.problem import Problem, Refused
from studio.voice import count, length, said

__all__ = [
    "GUARD", "MOST_COLUMNS", "MOST_ROWS", "SIDE_STEP_MM", "Fit", "Integers", "Symmetry", "Way", "best_fit",
    "fits", "hundredths", "is_printable", "refuse_unprintable", "room_for", "sides_of", "ways_of",
]  # fmt: skip

Symmetry = Literal["both", "left-right", "top-bottom", "half-turn"]
Integers = NDArray[np.int64]

SIDE_STEP_MM = Decimal("0.5")
LEAST_SIDE_MM, LARGEST_SIDE_MM = Decimal(10), Decimal(400)
"""Bounds of Design.cell_side_mm."""
GUARD = 1e-12
"""Relative; no angle but those three comes as near to a whole number of quarters."""
MOST_COLUMNS, MOST_ROWS = 400, 800
"""The largest panel that a design may ask for; an opening with room for more needs larger cells."""


@dataclass(frozen=True, slots=True)
class Fit:
    """An option's size. Sizes run between strip centre lines (`lattice_width_mm`, `lattice_height_mm`); the
    panel adds the edging outside them on every side (`width_mm`, `height_mm`). `left_over_mm` is what the
    opening less its gaps leaves, across and up; never negative. `columns` and `rows` count what a design
    counts: half sides along a three-way lattice's strips, boxes (one cell across, one up) in a diamond one.
    `across` and `up` are the lattice's own steps."""

    lattice: LatticeKind
    columns: int
    rows: int
    cell_side_mm: float
    lattice_width_mm: float
    lattice_height_mm: float
    width_mm: float
    height_mm: float
    left_over_mm: tuple[float, float]
    symmetry: Symmetry
    angle_deg: float = 60.0

    @property
    def kind(self) -> Kind:
        return kind_of(self.lattice)

    @property
    def across(self) -> Axis:
        return _axes(self.kind, self.columns, self.rows, self.cell_side_mm, self.angle_deg)[0]

    @property
    def up(self) -> Axis:
        return _axes(self.kind, self.columns, self.rows, self.cell_side_mm, self.angle_deg)[1]


@memo
def _axes(kind: Kind, columns: int, rows: int, side_mm: float, angle_deg: float) -> tuple[Axis, Axis]:
    return kind.axes(columns, rows, side_mm, angle_deg)


def fits(design: Design, space: Space) -> tuple[Fit, ...]:
    """Every fit of the design in the space, the best first: by the larger relative left-over, then by
    nearness to the wanted side. Each side within the design's play, in steps of 0.5 mm from the wanted one,
    gives at most one fit: as many columns and rows as there is room for, or as the design says. Empty when
    not one whole cell fits."""
    return tuple(_ranked(design, space))


def room_for(design: Design, space: Space) -> tuple[int, int]:
    """Columns and rows for which there is room at the wanted side itself, be they too few for a whole cell or
    more than a design may ask for."""
    across, up = ways_of(design, space, np.array([hundredths(design.cell_side_mm)]))
    return int(across.most[0]), int(up.most[0])


def best_fit(design: Design, space: Space) -> Fit:
    """The first of `fits` whose side lets every pattern be printed; the very first where none does, for
    composing it tells why. Raises Refused, with the sizes that clash, when there is no fit."""
    first = next(_ranked(design, space), None)
    if first is None:
        raise Refused(*_misfits(design, space))
    ranked = _ranked(design, space)
    return next((fit for fit in ranked if is_printable(design, fit.cell_side_mm)), first)


def refuse_unprintable(design: Design, side_mm: float) -> None:
    """Raise Refused when one of the design's patterns cannot be printed in cells of this side. The pieces are
    kept: composing uses them."""
    strips = float(design.strip_width_mm), float(design.infill_strip_mm), float(design.clearance_mm)
    angle_deg = float(design.angle_deg)
    for pattern in {pattern_of(design, infill) for infill in infills_of(design).values()}:
        for shape, facing in design.kind.shapes:
            piece_for(pattern, design.lattice, shape, facing, side_mm, *strips, angle_deg)


def is_printable(design: Design, side_mm: float) -> bool:
    """Whether no pattern is refused for the side of the cell."""
    try:
        refuse_unprintable(design, side_mm)
    except Refused as refused:
        return all(problem.field != "design.cell_side_mm" for problem in refused.problems)
    return True


def _ranked(design: Design, space: Space) -> Iterator[Fit]:
    """Lengths are counted in whole hundredths of a millimetre, so that no rounding makes a fit too large."""
    opening, sides = _opening(design, space), sides_of(design)
    across, up = ways_of(design, space, sides)
    left_over = np.maximum(_left_over(across, sides, opening[0]), _left_over(up, sides, opening[1]))
    far = np.abs(sides - hundredths(design.cell_side_mm))
    for i in np.lexsort((sides, far, left_over)).tolist():
        if across.counts[i] and up.counts[i]:
            yield _fit(design, opening, int(across.counts[i]), int(up.counts[i]), int(sides[i]))


def _fit(design: Design, opening: tuple[int, int], columns: int, rows: int, side: int) -> Fit:
    edging = 2 * hundredths(design.edging_width_mm)
    wide, high = design.kind.pitch(float(design.angle_deg))
    across, up = columns * side * wide, rows * side * high
    width = min(across + edging, opening[0])  # a root, rounded, could be larger by the last bit
    height = min(up + edging, opening[1])
    return Fit(
        lattice=design.lattice,
        columns=columns,
        rows=rows,
        cell_side_mm=side / 100,
        lattice_width_mm=across / 100,
        lattice_height_mm=up / 100,
        width_mm=width / 100,
        height_mm=height / 100,
        left_over_mm=((opening[0] - width) / 100, (opening[1] - height) / 100),
        symmetry=_symmetry(design.kind, columns, rows),
        angle_deg=design.kind.angle_deg(design.angle_deg),
    )


def _symmetry(kind: Kind, columns: int, rows: int) -> Symmetry:
    """Of the cells' shapes. Lattices alike both ways (square and diamond ones) mirror both ways, whatever
    their counts; whether the drawing does, with its patterns and colours, drawn_symmetry.py says."""
    if kind.straight or kind.every_other or (columns % 2 == 0 and rows % 2 == 0):
        return "both"
    if columns % 2 == 0:
        return "left-right"
    return "top-bottom" if rows % 2 == 0 else "half-turn"


def _opening(design: Design, space: Space) -> tuple[int, int]:
    """Smallest width and height less the gaps, in hundredths of a millimetre; at least one, to divide by."""
    gaps = 2 * space.gap_mm
    width, height = min(space.widths_mm) - gaps, min(space.heights_mm) - gaps
    return max(1, hundredths(width)), max(1, hundredths(height))


def sides_of(design: Design) -> Integers:
    """The sides to try, in hundredths of a millimetre, ascending; none that no design may have."""
    steps = int(design.cell_side_mm * design.side_play_percent / 100 / SIDE_STEP_MM)
    sides = hundredths(design.cell_side_mm) + hundredths(SIDE_STEP_MM) * np.arange(-steps, steps + 1)
    return sides[(sides >= hundredths(LEAST_SIDE_MM)) & (sides <= hundredths(LARGEST_SIDE_MM))]


@dataclass(frozen=True, eq=False)
class Way:
    """Across or up: `most` cells have room at each side and `counts` of them are taken, zero where there are
    fewer than `least` or more than `limit`. `unit` is the width of a column or the height of a row in cell
    sides."""

    fields: tuple[str, str]
    nouns: Nouns
    unit: float
    room: int
    most: Integers
    wanted: int | None
    least: int
    limit: int

    @property
    def counts(self) -> Integers:
        return self._taken(self.most)

    def taken_in(self, room: Integers, sides: Integers) -> Integers:
        """How many cells of each side are taken where there is so much room."""
        return self._taken(_most(self.unit, room, sides))

    def _taken(self, most: Integers) -> Integers:
        counts = most if self.wanted is None else np.where(most >= self.wanted, self.wanted, 0)
        return np.where((counts >= self.least) & (counts <= self.limit), counts, 0)

    def least_room(self, cells: Integers, sides: Integers) -> Integers:
        """The least room for so many cells of each side, in whole hundredths of a millimetre."""
        guess = np.floor(cells * sides * self.unit).astype(np.int64)
        tries = np.stack([guess - 1, guess, guess + 1, guess + 2])
        return np.asarray(guess - 1 + np.argmax(_fitting(self.unit, cells, sides, tries), axis=0))


def ways_of(design: Design, space: Space, sides: Integers) -> tuple[Way, Way]:
    """Across and up: what gaps and edging leave of the opening, and how many cells have room there."""
    kind, around = design.kind, 2 * (space.gap_mm + design.edging_width_mm)
    width = max(0, hundredths(min(space.widths_mm) - around))
    height = max(0, hundredths(min(space.heights_mm) - around))
    (wide, high), nouns, least = kind.pitch(float(design.angle_deg)), kind.nouns, kind.least
    columns, rows = _most(wide, width, sides), _most(high, height, sides)
    return (
        Way(("space.widths_mm", "design.columns"), nouns[0], wide, width, columns,
             design.columns, least[0], MOST_COLUMNS),
        Way(("space.heights_mm", "design.rows"), nouns[1], high, height, rows,
             design.rows, least[1], MOST_ROWS),
    )  # fmt: skip


def _left_over(way: Way, sides: Integers, opening: int) -> NDArray[np.float64]:
    """Relative left-over for each side."""
    return np.asarray((way.room - way.counts * sides * way.unit) / opening, dtype=np.float64)


def _most(unit: float, room: int | Integers, sides: Integers) -> Integers:
    """The largest n with n * unit * s <= room."""
    guess = np.floor(room / (sides * unit)).astype(np.int64)
    tries = np.stack([guess + 1, guess, guess - 1])
    fitting = _fitting(unit, tries, sides, np.asarray(room))
    return np.asarray(guess + 1 - np.argmax(fitting, axis=0), dtype=np.int64)


def _fitting(unit: float, cells: Integers, sides: Integers, room: Integers) -> NDArray[np.bool_]:
    """Whether cells * unit * side <= room. The square of the unit is a whole number of quarters for all
    lattices but most diamond ones, and whole numbers decide. Elsewhere the unit is irrational (Niven: of the
    rational angles only 60, 90 and 120 degrees have a rational cosine here) and is taken larger by GUARD, a
    thousand times what rounding can take off."""
    quarters = round(4 * unit**2)
    if abs(4 * unit**2 - quarters) < GUARD:
        return np.asarray(quarters * (cells * sides) ** 2 <= 4 * room**2)
    return np.asarray(cells * sides * (unit * (1 + GUARD)) <= room)


def hundredths(length_mm: Decimal) -> int:
    return int(length_mm * 100)


def _misfits(design: Design, space: Space) -> list[Problem]:
    """Why no side gives a fit."""
    sides = sides_of(design)
    ways = ways_of(design, space, sides)
    apart = Problem(
        "design.side_play_percent",
        "no one side within the play gives a fit both across and up",
        "more play, or other counts of columns and rows",
    )
    return [_misfit(way, int(sides[0])) for way in ways if not way.counts.any()] or [apart]


def _misfit(way: Way, smallest: int) -> Problem:
    """What is wrong across or up, where no side gives a count."""
    (space, field), most, least = way.fields, int(way.most.max()), way.least
    if way.wanted is None and most > way.limit:
        room = "there is room for {} {} or more; a panel has at most {}"
        reason = said(room, int(way.most.min()), way.nouns[1], way.limit)
        remedy = f"larger cells, or a number of {way.nouns[1]} of your own"
        return Problem("design.cell_side_mm", reason, remedy)
    if way.wanted is not None and way.wanted < least:
        reason = said("{} cannot hold a whole cell", count(way.wanted, *way.nouns))
        return Problem(field, reason, said("at least {}", count(least, *way.nouns)))
    number = way.wanted or least
    size = length(number * smallest * way.unit / 100, 1)
    needed = "{} of the smallest cells would be {}, and the gaps and the edging leave {}"
    reason = said(needed, count(number, *way.nouns), size, length(way.room / 100, 1))
    if most >= least:
        return Problem(field, reason, said("at most {}, or smaller cells", count(most, *way.nouns)))
    remedy = "a larger opening, smaller cells, or less edging or gap"
    return Problem(space, said("not one whole cell fits: {}", reason), remedy)
