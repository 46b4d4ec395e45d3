"""Mass and centre of mass of each module, from the bill: every piece where it lies, what is spread evenly by
area."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import chain, product

import numpy as np
from numpy.typing import NDArray

from studio.lattice.axis import Axis
from studio.lattice.bill import Bill
from studio.lattice.cell import cell_polygon
from studio.lattice.composition import SHAPES, Composition
from studio.lattice.edging import edging_runs
from studio.lattice.infill_parts import size_of
from studio.lattice.section_parts import kinds_of
from studio.lattice.sections import section_of

__all__ = ["Hung", "hung_modules"]

Floats = NDArray[np.float64]
Lumps = tuple[NDArray[np.int64], Floats, Floats, Floats]
"""Section, grams, x and y (mm) of lumps of mass."""
Box = tuple[float, float, float, float]


@dataclass(frozen=True, eq=False)
class Hung:
    """A module as it hangs: its box (left, bottom, right, top, with its share of the edging), mass, centre of
    mass, and the mass of each of its sections. mm from the panel's lower left crossing, x to the right, y
    up."""

    box: Box
    mass_g: float
    x_mm: float
    y_mm: float
    section_g: tuple[float, ...]


def hung_modules(
    composition: Composition, bill: Bill, part_g: Sequence[float], evenly_g: float
) -> tuple[Hung, ...]:
    """Every module of a panel. `part_g` are the grams of one of each of the bill's parts, in their order;
    `evenly_g` is what lies evenly over the panel: backing, light, bought-in things.

    Edging and keys are reckoned among the sections that they join. Where sections meet in a zigzag, what lies
    evenly is shared along its middle.
    """
    lumps = [
        *_infills(composition, bill, part_g),
        *_lattice(composition, bill, part_g),
        *_edging(composition, bill, part_g),
        *_keys(bill, part_g),
        _evenly(bill, float(composition.design.edging_width_mm), evenly_g),
    ]
    number = len(bill.sections)
    mass, across, up = np.zeros(number), np.zeros(number), np.zeros(number)
    for section, grams, x, y in lumps:
        for total, weights in ((mass, grams), (across, grams * x), (up, grams * y)):
            total += np.bincount(section, weights, number)
    boxes = _boxes(bill, float(composition.design.edging_width_mm), whole=True)
    return tuple(_hung(list(module.sections), boxes, mass, across, up) for module in bill.modules)


def _hung(sections: list[int], boxes: Floats, mass: Floats, across: Floats, up: Floats) -> Hung:
    grams = float(mass[sections].sum())
    left, bottom = boxes[sections, :2].min(axis=0).tolist()
    right, top = boxes[sections, 2:].max(axis=0).tolist()
    return Hung(
        box=(left, bottom, right, top),
        mass_g=grams,
        x_mm=float(across[sections].sum()) / grams if grams else (left + right) / 2,
        y_mm=float(up[sections].sum()) / grams if grams else (bottom + top) / 2,
        section_g=tuple(mass[sections].tolist()),
    )


def _infills(composition: Composition, bill: Bill, part_g: Sequence[float]) -> Iterator[Lumps]:
    """Each piece at its own centroid in its cell."""
    own = {
        (part.pattern, part.size, part.filament): grams
        for part, grams in zip(bill.parts, part_g, strict=True)
        if part.code == "infill"
    }
    filled = composition.piece >= 0
    if not filled.any():
        return
    piece, filament = composition.piece[filled], composition.filament[filled]
    masses = [
        [own.get((each.pattern, size_of(each), name), 0.0) for name in composition.filaments]
        for each in composition.pieces
    ]
    centroid = np.array([each.outline.centroid.coords[0] for each in composition.pieces])
    section = section_of(composition.fit, bill.sections)[filled].astype(np.int64)
    x, y = composition.x[filled] + centroid[piece, 0], composition.y[filled] + centroid[piece, 1]
    yield section, np.array(masses)[piece, filament], x, y


def _lattice(composition: Composition, bill: Bill, part_g: Sequence[float]) -> Iterator[Lumps]:
    """A section's mass lies where its strips do: of each cell, what its opening leaves."""
    fit, kinds = composition.fit, kinds_of(composition.fit, bill.sections)
    strips = np.zeros((len(SHAPES), max(facing for _, facing in composition.openings) + 1, 3))
    for (shape, facing), opening in composition.openings.items():
        cell = cell_polygon(fit.lattice, SHAPES[shape], facing, fit.cell_side_mm, fit.angle_deg)
        whole, clear = (np.array([1, *each.centroid.coords[0]]) * each.area for each in (cell, opening))
        strips[shape, facing] = whole - clear
    area, x, y = strips[composition.shape, composition.facing].T
    section = section_of(fit, bill.sections).astype(np.int64)
    areas, density = np.bincount(section, area, len(bill.sections)), np.zeros(len(bill.sections))
    grams = [g for part, g in zip(bill.parts, part_g, strict=True) if part.code == "section"]
    for of_kind, each in zip(kinds, grams, strict=True):
        density[of_kind] = each / areas[of_kind]
    yield section, density[section] * area, composition.x + x / area, composition.y + y / area


def _edging(composition: Composition, bill: Bill, part_g: Sequence[float]) -> Iterator[Lumps]:
    """Rails at the middle of each run, all of one mass a length; corners where they are."""
    half = float(composition.design.edging_width_mm) / 2
    if not half:
        return
    fit, (width, height) = bill.fit, (bill.fit.lattice_width_mm, bill.fit.lattice_height_mm)
    runs = list(edging_runs(fit, bill.sections, bill.modules))
    middle = np.array([np.add(run.first, run.last) / 2 for run in runs])
    length = np.array([run.length_mm for run in runs])
    level = np.array([run.first[1] == run.last[1] for run in runs])
    out = np.where(middle > (width / 2, height / 2), half, -half)
    x = middle[:, 0] + np.where(level, 0, out[:, 0])
    y = middle[:, 1] + np.where(level, out[:, 1], 0)
    yield _among(bill, [run.module for run in runs], length * _sum(bill, part_g, "rail") / length.sum(), x, y)
    ends = [(i, j) for i, j in product((-half, width + half), (-half, height + half))]
    x, y = np.array(ends).T
    yield _nearest(bill, x, y), np.full(4, _sum(bill, part_g, "corner") / 4), x, y


def _among(bill: Bill, modules: Sequence[int], grams: Floats, x: Floats, y: Floats) -> Lumps:
    """Lumps of modules, shared evenly among their sections."""
    own = [bill.modules[module].sections for module in modules]
    counts = np.array([len(sections) for sections in own])
    mass, across, up = (np.repeat(part, counts) for part in (grams / counts, x, y))
    return np.array(list(chain.from_iterable(own)), dtype=np.int64), mass, across, up


def _keys(bill: Bill, part_g: Sequence[float]) -> Iterator[Lumps]:
    """Half to either side, in the middle of what the boxes of the two sections share."""
    keys = sum(seam.keys for seam in bill.seams)
    if not keys:
        return
    each = _sum(bill, part_g, "key") / keys
    first, second, number = np.array([(seam.first, seam.second, seam.keys) for seam in bill.seams]).T
    boxes, grams = _boxes(bill, 0.0, whole=True), each * number / 2
    shared = np.maximum(boxes[first, :2], boxes[second, :2]) + np.minimum(boxes[first, 2:], boxes[second, 2:])
    for sections in (first, second):
        yield sections, grams, shared[:, 0] / 2, shared[:, 1] / 2


def _evenly(bill: Bill, edging_mm: float, evenly_g: float) -> Lumps:
    boxes = _boxes(bill, edging_mm)
    areas = (boxes[:, 2] - boxes[:, 0]) * (boxes[:, 3] - boxes[:, 1])
    x, y = (boxes[:, 0] + boxes[:, 2]) / 2, (boxes[:, 1] + boxes[:, 3]) / 2
    return np.arange(len(boxes)), evenly_g * areas / areas.sum(), x, y


def _sum(bill: Bill, part_g: Sequence[float], code: str) -> float:
    return sum(part.count * g for part, g in zip(bill.parts, part_g, strict=True) if part.code == code)


def _nearest(bill: Bill, x: Floats, y: Floats) -> NDArray[np.int64]:
    """The section at each corner of the panel."""
    boxes = _boxes(bill, 0.0)
    middle = (boxes[:, :2] + boxes[:, 2:]) / 2
    apart = np.abs(middle[:, None] - np.stack([x, y], axis=1)).sum(axis=2)
    nearest: NDArray[np.int64] = np.argmin(apart, axis=0)
    return nearest


def _boxes(bill: Bill, edging_mm: float, whole: bool = False) -> Floats:
    """Of every section, (n, 4), from centre line to centre line, with the edging at the panel's edge; along
    the middle of zigzags, or else as far as they go."""
    at = np.array([(s.column, s.columns, s.row, s.rows) for s in bill.sections])
    left, right = _ends(bill.fit.across, at[:, 0], at[:, 1], edging_mm, whole)
    bottom, top = _ends(bill.fit.up, at[:, 2], at[:, 3], edging_mm, whole)
    return np.stack([left, bottom, right, top], axis=1)


def _ends(
    axis: Axis, first: NDArray[np.int64], count: NDArray[np.int64], edging_mm: float, whole: bool
) -> tuple[Floats, Floats]:
    """Where cells of the addresses [first, first + count) begin and end, as in Axis.span."""
    end, out = first + count, axis.zigzag * (1.0 if whole else 0.5)
    high = end if whole or not axis.zigzag else end - 0.5
    return (
        np.where(first == 0, -edging_mm, (first - out) * axis.step_mm),
        np.where(end == axis.addresses, axis.length_mm + edging_mm, high * axis.step_mm),
    )
