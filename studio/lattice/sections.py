"""Sections of the ground lattice by the bed, modules by the way in, and the seams between them.

A seam runs on the centre line of a strip, and the section on either side carries the half strip on its own
side; the outer strips' outer halves lie within the edging. So a section is the area of its cells, and
sections add up to the lattice.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise, product
from math import ceil, hypot

import numpy as np
from numpy.typing import NDArray

from studio.lattice.cells import crossing, crossing_across, off_crossing
from studio.lattice.design import Design, WayIn
from studio.lattice.fit import Fit
from studio.lattice.modules import Module, group
from studio.lattice.split import TOLERANCE_MM, BedLimit, Cuts, split
from studio.problem import Refused
from studio.voice import at_most, length, said

__all__ = ["LEAST_JOINTS", "BedLimit", "Seam", "Section", "divide", "high_enough", "section_of"]

LEAST_JOINTS = 2
"""So that a seam cannot turn about a single one."""


@dataclass(frozen=True, slots=True)
class Section:
    """Cells of columns [column, column + columns) and rows [row, row + rows) of the address grid, printed in
    one go. In a diamond lattice every other address is a cell."""

    column: int
    columns: int
    row: int
    rows: int
    width_mm: float
    height_mm: float
    cells: int
    module: int


@dataclass(frozen=True, slots=True)
class Seam:
    """Where two sections meet: indices into Bill.sections, the length along the strips, places at which
    it is joined, how many of these have a key, since a strip crosses there (the others are glued alone), and
    whether it is also a joint between modules, closed on site."""

    first: int
    second: int
    length_mm: float
    joints: int
    keys: int
    on_site: bool


def divide(
    fit: Fit,
    design: Design,
    beds: Sequence[BedLimit],
    way_in: WayIn,
    key_spacing_mm: float,
    cuts: Cuts | None = None,
) -> tuple[tuple[Section, ...], tuple[Seam, ...], tuple[Module, ...]]:
    """Sections, seams and modules, sections in order (column, row), by these cuts or else by `split`. A seam
    has a joint for each `key_spacing_mm` that it begins.

    Raises Refused when no printer takes a section, or no section the way in.
    """
    cuts = cuts or split(fit, high_enough(design, beds), design.seam_lines)
    modules = group(fit, cuts, float(design.edging_width_mm), way_in)
    module_of = {section: index for index, module in enumerate(modules) for section in module.sections}
    places = product(pairwise(cuts.columns), pairwise(cuts.rows))
    sections = tuple(_section(fit, *place, module_of[i]) for i, place in enumerate(places))
    return sections, tuple(_seams(fit, cuts, sections, key_spacing_mm)), modules


def section_of(fit: Fit, sections: Sequence[Section]) -> NDArray[np.int32]:
    """Index of the section of every cell, (n,) in order (column, row)."""
    found = np.full((fit.across.addresses, fit.up.addresses), -1, dtype=np.int32)
    for index, s in enumerate(sections):
        found[s.column : s.column + s.columns, s.row : s.row + s.rows] = index
    there = np.indices(found.shape).sum(axis=0) % (1 + fit.kind.every_other) == 0
    owners: NDArray[np.int32] = found[there]
    return owners


def high_enough(design: Design, beds: Sequence[BedLimit]) -> list[BedLimit]:
    """The beds of printers that print as high as the lattice is deep. Raises Refused where there is none."""
    high = [bed for bed in beds if design.depth_mm <= bed.height_mm]
    if not high:
        highest = max((bed.height_mm for bed in beds), default=0)
        raise Refused.because(
            "design.depth_mm",
            said(
                "the lattice is {} deep, and no printer prints higher than {}",
                length(design.depth_mm),
                length(highest),
            ),
            said("at most {}", at_most(highest)),
        )
    return high


def _section(fit: Fit, columns: tuple[int, int], rows: tuple[int, int], module: int) -> Section:
    wide, high = columns[1] - columns[0], rows[1] - rows[0]
    (left, right), (bottom, top) = fit.across.span(*columns), fit.up.span(*rows)
    addresses = wide * high
    even = (columns[0] + rows[0]) % 2 == 0
    return Section(
        column=columns[0],
        columns=wide,
        row=rows[0],
        rows=high,
        width_mm=(right - left) * fit.across.step_mm,
        height_mm=(top - bottom) * fit.up.step_mm,
        cells=(addresses + even) // 2 if fit.kind.every_other else addresses,
        module=module,
    )


def _seams(fit: Fit, cuts: Cuts, sections: Sequence[Section], spacing_mm: float) -> Iterator[Seam]:
    rows = len(cuts.rows) - 1
    for i, section in enumerate(sections):
        above, right = (i + 1) % rows > 0, i + rows < len(sections)
        if above:
            yield _seam(sections, i, i + 1, *_level(fit, section), spacing_mm)
        if right:
            yield _seam(sections, i, i + rows, *_upright(fit, section), spacing_mm)
        if above and right and fit.kind.every_other:  # round a corner of four, two opposite ones touch
            rising = (section.column + section.columns + section.row + section.rows) % 2 == 0
            pair = (i, i + rows + 1) if rising else (i + 1, i + rows)
            yield _seam(sections, *pair, fit.cell_side_mm, 0, spacing_mm, least=1)


def _level(fit: Fit, section: Section) -> tuple[float, int]:
    """Length of the seam above, along a side in every step where it zigzags, and where strips cross it."""
    left, right, line = section.column, section.column + section.columns, section.row + section.rows
    first, last = crossing_across(fit, left, line), crossing_across(fit, right, line)
    if fit.up.zigzag:
        sides = section.columns - fit.across.zigzag
        return sides * hypot(fit.across.step_mm, fit.up.step_mm), _at_turns(fit, sides)
    return (last - first) * fit.across.step_mm, _at_crossings(fit, line, first, last)


def _upright(fit: Fit, section: Section) -> tuple[float, int]:
    """The same of the seam on the right."""
    bottom, top, line = section.row, section.row + section.rows, section.column + section.columns
    first, last = crossing(fit, line, bottom), crossing(fit, line, top)
    if fit.across.zigzag:
        sides = section.rows - fit.up.zigzag
        return sides * hypot(fit.across.step_mm, fit.up.step_mm), _at_turns(fit, sides)
    return (last - first) * fit.up.step_mm, _at_crossings(fit, line, first, last)


def _at_turns(fit: Fit, sides: int) -> int:
    """A strip crosses a zigzag at each of its turns, unless all strips zigzag along seams."""
    return 0 if fit.kind.every_other else sides - 1


def _at_crossings(fit: Fit, line: int, first: int, last: int) -> int:
    """Crossings of a straight seam between its ends: there, strips are half strips or seams themselves."""
    start = first + 1 + off_crossing(fit, line + first + 1)
    return len(range(start, last, 1 if fit.kind.straight else 2))


def _seam(
    sections: Sequence[Section],
    first: int,
    second: int,
    length_mm: float,
    crossings: int,
    spacing_mm: float,
    least: int = LEAST_JOINTS,
) -> Seam:
    joints = max(least, ceil((length_mm - TOLERANCE_MM) / spacing_mm))
    on_site = sections[first].module != sections[second].module
    return Seam(first, second, length_mm, joints, min(joints, crossings), on_site)
