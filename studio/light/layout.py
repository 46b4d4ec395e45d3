"""Where strips lie behind a panel: in rows behind a diffuser, or round its edge.

Lengths in mm from the panel's lower left corner, edging included, seen from the front; x to the right, y up.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby
from math import ceil, floor

from studio.lattice.axis import Axis
from studio.lattice.bill import Bill
from studio.lattice.split import TOLERANCE_MM

__all__ = ["Chain", "Piece", "Place", "places_of", "ring", "rows"]

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Place:
    """A module's rectangle, and which of its sides (bottom, right, top, left) are the panel's own."""

    module: int
    left_mm: float
    bottom_mm: float
    right_mm: float
    top_mm: float
    outer: tuple[bool, bool, bool, bool]


@dataclass(frozen=True, slots=True)
class Piece:
    """A strip in one piece of whole cut steps, from the end that is fed to its far end."""

    start: Point
    end: Point
    steps: int

    @property
    def turned(self) -> "Piece":
        return Piece(self.end, self.start, self.steps)


@dataclass(frozen=True, slots=True)
class Chain:
    """Pieces of one module in the order in which they can follow each other in a run."""

    module: int
    pieces: tuple[Piece, ...]


def places_of(bill: Bill) -> tuple[Place, ...]:
    """Of every module, in order. Modules meet on a straight line, the middle of a seam that zigzags."""
    fit = bill.fit
    edging_mm = (fit.width_mm - fit.lattice_width_mm) / 2

    def place(number: int) -> Place:
        sections = [bill.sections[i] for i in bill.modules[number].sections]
        first, last = sections[0], sections[-1]
        left, right, left_end, right_end = _between(fit.across, first.column, last.column + last.columns)
        bottom, top, bottom_end, top_end = _between(fit.up, first.row, last.row + last.rows)
        return Place(
            module=number,
            left_mm=0.0 if left_end else edging_mm + left,
            bottom_mm=0.0 if bottom_end else edging_mm + bottom,
            right_mm=fit.width_mm if right_end else edging_mm + right,
            top_mm=fit.height_mm if top_end else edging_mm + top,
            outer=(bottom_end, right_end, top_end, left_end),
        )

    return tuple(map(place, range(len(bill.modules))))


def _between(axis: Axis, first: int, end: int) -> tuple[float, float, bool, bool]:
    half = axis.zigzag / 2
    return (
        (first - half) * axis.step_mm, (end - half) * axis.step_mm, first == 0, end == axis.addresses,
    )  # fmt: skip


def rows(
    places: tuple[Place, ...], edging_mm: float, margin_mm: float, pitch_mm: float, cut_mm: float
) -> Iterator[Chain]:
    """Rows no further apart than `pitch_mm`, a chain a module, each row turned against the one before, along
    the longer side of the panel. Across a joint between modules rows are as near as within one, and an outer
    row is half a row's distance from the margin. A module without room for one cut step has an empty chain.
    """
    wide = max(place.right_mm for place in places) >= max(place.top_mm for place in places)
    for place in places:
        left, bottom, right, top = _inner(place, edging_mm, margin_mm)
        if wide:
            low, high, start, end = *_across(place, 0, 2, bottom, top, margin_mm), left, right
        else:
            low, high, start, end = *_across(place, 3, 1, left, right, margin_mm), bottom, top
        steps = floor((end - start + TOLERANCE_MM) / cut_mm)
        count = max(1, ceil((high - low - TOLERANCE_MM) / pitch_mm)) if steps > 0 and high > low else 0
        apart = (high - low) / max(1, count)
        pieces = (_piece(start, end, low + (i + 0.5) * apart, steps, cut_mm, wide) for i in range(count))
        yield Chain(place.module, tuple(p.turned if i % 2 else p for i, p in enumerate(pieces)))


def _inner(place: Place, edging_mm: float, margin_mm: float) -> tuple[float, float, float, float]:
    """What is within the edging and the margin: left, bottom, right, top."""
    bottom, right, top, left = (margin_mm + edging_mm * outer for outer in place.outer)
    return place.left_mm + left, place.bottom_mm + bottom, place.right_mm - right, place.top_mm - top


def _across(
    place: Place, low_side: int, high_side: int, low: float, high: float, margin_mm: float
) -> tuple[float, float]:
    """Rows come up to a joint between modules without a margin, so that light has no gap there."""
    return (
        low - margin_mm * (not place.outer[low_side]), high + margin_mm * (not place.outer[high_side]),
    )  # fmt: skip


def _piece(start: float, end: float, at: float, steps: int, cut_mm: float, level: bool) -> Piece:
    """In the middle of its place."""
    spare = (end - start - steps * cut_mm) / 2
    ends = (start + spare, end - spare)
    first, last = ((along, at) if level else (at, along) for along in ends)
    return Piece(first, last, steps)


def ring(
    places: tuple[Place, ...], edging_mm: float, margin_mm: float, width_mm: float, cut_mm: float
) -> Iterator[Chain]:
    """A strip of this width along each outer side of a module, anticlockwise; sides that share a corner
    follow each other. Sides without room for one cut step, and modules inside the panel, have none."""
    for place in places:
        if not any(place.outer):
            continue
        pieces = _sides(_inner(place, edging_mm, margin_mm), place.outer, width_mm, cut_mm)
        first = place.outer.index(False) if False in place.outer else 0
        order = [*range(first, 4), *range(first)]
        for there, sides in groupby(order, place.outer.__getitem__):
            if there and (found := tuple(p for side in sides if (p := pieces[side]).steps > 0)):
                yield Chain(place.module, found)


def _sides(
    inner: tuple[float, float, float, float], outer: tuple[bool, ...], width_mm: float, cut_mm: float
) -> tuple[Piece, Piece, Piece, Piece]:
    """Bottom, right, top, left; upright ones end where a level one lies."""
    left, bottom, right, top = inner
    half = width_mm / 2
    low, high = bottom + width_mm * outer[0], top - width_mm * outer[2]
    level, upright = (floor((room + TOLERANCE_MM) / cut_mm) for room in (right - left, high - low))
    return (
        _piece(left, right, bottom + half, level, cut_mm, level=True),
        _piece(low, high, right - half, upright, cut_mm, level=False),
        _piece(left, right, top - half, level, cut_mm, level=True).turned,
        _piece(low, high, left + half, upright, cut_mm, level=False).turned,
    )
