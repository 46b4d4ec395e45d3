"""Modules: sections carried and hung as one part, as large as the way in lets pass."""

from collections.abc import Callable
from dataclasses import dataclass
from itertools import accumulate, pairwise

from studio.lattice.axis import Axis
from studio.lattice.design import WayIn
from studio.lattice.fit import Fit
from studio.lattice.split import TOLERANCE_MM, Cuts, even
from studio.problem import Refused
from studio.voice import length, said

__all__ = ["Module", "group"]

Size = Callable[[int, int], float]


@dataclass(frozen=True, slots=True)
class Module:
    """Sections carried and hung as one part."""

    sections: tuple[int, ...]
    width_mm: float
    height_mm: float


def group(fit: Fit, cuts: Cuts, edging_mm: float, way_in: WayIn) -> tuple[Module, ...]:
    """The fewest modules that pass the way in, each with its share of the edging, in order (column, row).
    Their sizes are even where that passes. Raises Refused when not even a single section passes."""
    width, height = _size(fit.across, cuts.columns, edging_mm), _size(fit.up, cuts.rows, edging_mm)
    short, long = sorted((float(way_in.width_mm), float(way_in.length_mm)))
    counts = len(cuts.columns) - 1, len(cuts.rows) - 1
    found = [
        Cuts(across, up)
        for wide, high in ((short, long), (long, short))
        if (across := _fewest(counts[0], width, wide)) and (up := _fewest(counts[1], height, high))
    ]
    if not found:
        raise _stuck(counts, width, height, way_in)
    joints = min(found, key=lambda joints: joints.sections)
    return tuple(
        Module(_members(counts[1], across, up), width(*across), height(*up))
        for across in pairwise(joints.columns)
        for up in pairwise(joints.rows)
    )


def _members(rows: int, across: tuple[int, int], up: tuple[int, int]) -> tuple[int, ...]:
    return tuple(column * rows + row for column in range(*across) for row in range(*up))


def _size(axis: Axis, ends: tuple[int, ...], edging_mm: float) -> Size:
    def size_mm(first: int, end: int) -> float:
        low, high = axis.span(ends[first], ends[end])
        edges = (first == 0) + (end == len(ends) - 1)
        return (high - low) * axis.step_mm + edges * edging_mm

    return size_mm


def _fewest(count: int, size: Size, limit_mm: float) -> tuple[int, ...]:
    """Ends of the fewest groups within the limit, even ones where that is within it; empty when a single one
    is not."""
    ends = [0]
    while ends[-1] < count:
        first = ends[-1]
        fitting = [end for end in range(first + 1, count + 1) if size(first, end) <= limit_mm + TOLERANCE_MM]
        if not fitting:
            return ()
        ends.append(fitting[-1])
    evenly = tuple(accumulate(even(count, len(ends) - 1), initial=0))
    return evenly if all(size(*each) <= limit_mm + TOLERANCE_MM for each in pairwise(evenly)) else tuple(ends)


def _stuck(counts: tuple[int, int], width: Size, height: Size, way_in: WayIn) -> Refused:
    wide = max(width(i, i + 1) for i in range(counts[0]))
    high = max(height(i, i + 1) for i in range(counts[1]))
    sizes = length(wide, 1), length(high, 1), length(way_in.width_mm), length(way_in.length_mm)
    return Refused.because(
        "space.way_in",
        said("a single section with its edging, {} by {}, does not pass a way in of {} by {}", *sizes),
        "a wider way in, a narrower edging, or a printer whose bed makes smaller sections",
    )
