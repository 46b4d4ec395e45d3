"""Where hangers sit: level, symmetric about a module's centre of mass, clear of seams and corners."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import chain
from math import sqrt
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from studio.hanging.catalogue import Hanger
from studio.hanging.centre import Hung
from studio.lattice.bill import Bill
from studio.lattice.cells import crossing_across, off_crossing
from studio.lattice.design import Design
from studio.lattice.edging import Run

__all__ = ["CLEAR_MM", "OVERHANG", "Places", "places_for"]

CLEAR_MM = 10.0
"""Between a hanger and a seam, a joint of rails or a corner: common practice, no source."""
OVERHANG = (sqrt(2) - 1) / 2
"""Share of its length that an evenly loaded beam stands out beyond either of two supports where it is bent
least: w a²/2 at a support is w l²/8 - w a l/2 in the middle."""
FINE = 3
"""Decimals of a mm to which distances are told apart."""

On = Literal["edging", "strip"]
Span = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Places:
    """Middles of the hangers, `across_mm` from the panel's lower left crossing, all at `up_mm`."""

    across_mm: tuple[float, ...]
    up_mm: float
    on: On


def places_for(
    design: Design, bill: Bill, runs: Sequence[Run], module: int, hung: Hung, hanger: Hanger
) -> Places | None:
    """The places of a hook or printed hanger's pair, or of a rail, in one module; None where there are none.

    A module with the panel's upper edging hangs by that, wherever the pair is as near as can be to where the
    module bends least. Another hangs by a level of crossings of its ground lattice, as far up as there are
    two, above the centre of mass, lest it tip off the wall: that pair whose middle is nearest to the centre
    of mass, then whose distance is the best.
    """
    edging_mm = float(design.edging_width_mm)
    first, last = (
        bill.sections[i] for i in (bill.modules[module].sections[0], bill.modules[module].sections[-1])
    )
    if last.row + last.rows == bill.fit.up.addresses and edging_mm and edging_mm >= hanger.needs_mm:
        return _on_edging(bill, runs, module, hung, hanger, edging_mm)
    if float(design.strip_width_mm) < hanger.needs_mm:
        return None
    levels = range(bill.fit.up.span(first.row, last.row + last.rows)[1] - 1, 0, -1)
    found = (_on_strip(bill, module, hung, hanger, level) for level in levels)
    return next((places for places in found if places), None)


def _on_edging(
    bill: Bill, runs: Sequence[Run], module: int, hung: Hung, hanger: Hanger, edging_mm: float
) -> Places | None:
    top = bill.fit.up.steps
    left, _, right, _ = hung.box
    ends = left + (left < 0) * edging_mm, right - (right > bill.fit.lattice_width_mm) * edging_mm
    up_mm, half = bill.fit.lattice_height_mm + edging_mm / 2, hanger.width_mm / 2
    keep = half + CLEAR_MM
    if hanger.kind == "cleat rail":
        free = ends[0] + keep <= hung.x_mm <= ends[1] - keep
        return Places((hung.x_mm,), up_mm, "edging") if free else None
    joints = [*_seams(bill, module, top), *_rail_joints(bill, runs, module)]
    most = min(hung.x_mm - ends[0], ends[1] - hung.x_mm) - keep
    apart = _nearest_free(_ideal_mm(hung), (keep, most), list(_blocked(joints, hung.x_mm, keep)))
    return Places((hung.x_mm - apart, hung.x_mm + apart), up_mm, "edging") if apart is not None else None


def _ideal_mm(hung: Hung) -> float:
    """From the centre of mass to either hanger."""
    return (hung.box[2] - hung.box[0]) * (0.5 - OVERHANG)


def _blocked(joints: Sequence[float], centre_mm: float, keep_mm: float) -> Iterator[Span]:
    """Distances from the centre at which one of a pair comes too near to a joint."""
    for joint in joints:
        aside = abs(joint - centre_mm)
        yield aside - keep_mm, aside + keep_mm


def _nearest_free(wanted: float, within: Span, blocked: Sequence[Span]) -> float | None:
    """The number nearest to the wanted one that lies within and not in an open span that is blocked."""
    low, high = within
    tries = [min(max(wanted, low), high), low, high, *chain.from_iterable(blocked)]
    free = [each for each in tries if low <= each <= high and not any(a < each < b for a, b in blocked)]
    return min(free, key=lambda each: abs(each - wanted), default=None)


def _seams(bill: Bill, module: int, level: int) -> Iterator[float]:
    """Where upright seams of a module cross this level, mm across."""
    own = [bill.sections[i] for i in bill.modules[module].sections]
    for column in sorted({section.column for section in own} - {own[0].column}):
        yield crossing_across(bill.fit, column, level) * bill.fit.across.step_mm


def _rail_joints(bill: Bill, runs: Sequence[Run], module: int) -> Iterator[float]:
    """Where a run of the upper edging is cut into rails that beds take, mm across."""
    made = {round(part.face.width_mm, 2) for part in bill.parts if part.code == "rail"}
    for run in runs:
        if run.module == module and run.first[1] == run.last[1] > 0:
            number = next((n for n in range(1, 1000) if round(run.length_mm / n, 2) in made), 1)
            yield from (run.first[0] + run.length_mm * i / number for i in range(1, number))


def _on_strip(bill: Bill, module: int, hung: Hung, hanger: Hanger, level: int) -> Places | None:
    fit, keep = bill.fit, hanger.width_mm / 2 + CLEAR_MM
    up_mm = level * fit.up.step_mm
    if (
        up_mm <= hung.y_mm
        or hung.box[3] - up_mm < keep
        or any(abs(up_mm - seam) < keep for seam in _level_seams(bill, module))
    ):
        return None
    steps = np.arange(fit.across.steps + 1)
    x = steps[[off_crossing(fit, step + level) == 0 for step in steps.tolist()]] * fit.across.step_mm
    x = x[(x >= hung.box[0] + keep) & (x <= hung.box[2] - keep)]
    if hanger.kind == "cleat rail":
        reached = (np.abs(x - hung.x_mm) <= hanger.width_mm / 2).sum() > 1
        inside = hung.box[0] + keep <= hung.x_mm <= hung.box[2] - keep
        return Places((hung.x_mm,), up_mm, "strip") if reached and inside else None
    for seam in _seams(bill, module, level):
        x = x[np.abs(x - seam) >= keep]
    pair = _best_pair(x, hung)
    return Places(pair, up_mm, "strip") if pair else None


def _level_seams(bill: Bill, module: int) -> Iterator[float]:
    own = [bill.sections[i] for i in bill.modules[module].sections]
    for row in sorted({section.row for section in own} - {own[0].row}):
        yield (row - bill.fit.up.zigzag / 2) * bill.fit.up.step_mm


def _best_pair(x: NDArray[np.floating], hung: Hung) -> tuple[float, float] | None:
    left, right = x[x < hung.x_mm], x[x > hung.x_mm]
    if not len(left) or not len(right):
        return None
    off = np.abs((left[:, None] + right) / 2 - hung.x_mm).round(FINE)
    far = np.abs((right - left[:, None]) / 2 - _ideal_mm(hung)).round(FINE)
    i, j = np.unravel_index(np.lexsort((far.ravel(), off.ravel()))[0], off.shape)
    return float(left[i]), float(right[j])
