"""Which dimensions a panel gets: each size once, outside the panel, overall sizes outermost (ISO 129-1)."""

from dataclasses import dataclass

import numpy as np

from studio.drawing.dimension import Dimension
from studio.drawing.figures import UNIT, Units, figure, text_width
from studio.drawing.rings import TENTHS
from studio.drawing.sheet import Frame, Lettering, Pen, Segment, frame_of
from studio.lattice.cell import cell_corners
from studio.lattice.composition import Composition

__all__ = ["MARGINS_MM", "Dimensioned", "dimensioned"]

FIRST_MM, NEXT_MM = 8.0, 7.5
"""On the sheet: from the outline to the first dimension line, and from line to line."""
MARGINS_MM = (21.0, 2.0, 11.0, 18.0)
"""Room on the sheet for dimensions: left, top, right, bottom."""


@dataclass(frozen=True, slots=True)
class Dimensioned:
    """Dimension lines and lettering in drawing units; the panel and the frame that holds all of it."""

    lines: tuple[Segment, ...]
    lettering: tuple[Lettering, ...]
    panel: Frame
    frame: Frame


def dimensioned(composition: Composition, pen: Pen, units: Units = "metric") -> Dimensioned:
    """All dimensions of a panel; the millimetre, since figures do not carry it, is noted where their
    lines would meet."""
    lines: list[Segment] = []
    panel = frame_of(composition)
    lettering = [_unit_note(panel, pen)] if units == "metric" else []
    for dimension in _dimensions(composition, pen.unit, units):
        drawn, text = dimension.drawn(pen)
        lines += drawn
        lettering.append(text)
    return Dimensioned(tuple(lines), tuple(lettering), panel, _framed(panel, lines, pen))


def _framed(panel: Frame, lines: list[Segment], pen: Pen) -> Frame:
    """The panel with its margins, larger where a figure stands beyond the end of its line."""
    left, top, right, bottom = (margin * pen.unit for margin in MARGINS_MM)
    usual = panel.grown(left, top, right, bottom)
    ends = np.array(lines).reshape(-1, 2)
    low, high = ends.min(axis=0) - pen.unit, ends.max(axis=0) + pen.unit
    return Frame(
        min(usual.left, low[0]), min(usual.top, low[1]), max(usual.right, high[0]), max(usual.bottom, high[1])
    )


def _dimensions(composition: Composition, unit: float, units: Units) -> list[Dimension]:
    fit, frame = composition.fit, frame_of(composition)
    first, overall = FIRST_MM * unit, (FIRST_MM + NEXT_MM) * unit
    width, height = TENTHS * fit.lattice_width_mm, TENTHS * fit.lattice_height_mm
    across, up = figure(fit.lattice_width_mm, units), figure(fit.lattice_height_mm, units)
    columns, rows = _counted(fit.columns, "column"), _rows(composition)
    found = [
        Dimension((f"{columns}: {across}", across), 0, width, frame.bottom + first, frame.bottom),
        Dimension((f"{rows}: {up}", up), height, 0, frame.left - first, frame.left, upright=True),
        *_cell_side(composition, frame.right, frame.right + first, units),
    ]
    if frame.left < 0:  # without an edging the lattice is the panel, and no size is given twice
        whole = figure(fit.width_mm, units), figure(fit.height_mm, units)
        found += [
            Dimension(whole[:1], frame.left, frame.right, frame.bottom + overall, frame.bottom),
            Dimension(whole[1:], frame.bottom, frame.top, frame.left - overall, frame.left, upright=True),
        ]
    return found


def _counted(count: int, noun: str) -> str:
    return f"{count} {noun}" if count == 1 else f"{count} {noun}s"


def _rows(composition: Composition) -> str:
    """Rows of cells; in a three-way lattice a side is two rows."""
    rows = composition.fit.rows
    if composition.fit.lattice == "square":
        return _counted(rows, "row")
    halves = "½" if rows % 2 else ""
    return f"{rows // 2 or ''}{halves} cell" + ("" if rows <= 2 else "s")


def _cell_side(composition: Composition, outline: float, line: float, units: Units) -> list[Dimension]:
    """The upright side of the lowest whole cell that has one at the right-hand end; none where no cell is
    whole there."""
    fit = composition.fit
    at_end = (composition.column == composition.column.max()) & (composition.shape == 0)
    for y, facing in sorted(
        zip(composition.y[at_end].tolist(), composition.facing[at_end].tolist(), strict=True)
    ):
        corners = cell_corners(fit.lattice, "whole", facing, fit.cell_side_mm)
        right = max(x for x, _ in corners)
        ends = sorted(y + dy for x, dy in corners if x > right - 1e-6)
        if len(ends) == 2:
            low, high = (TENTHS * (fit.lattice_height_mm - end) for end in ends)
            return [Dimension((figure(fit.cell_side_mm, units),), low, high, line, outline, upright=True)]
    return []


def _unit_note(frame: Frame, pen: Pen) -> Lettering:
    x = frame.left - (FIRST_MM + NEXT_MM) * pen.unit
    y = frame.bottom + (FIRST_MM + NEXT_MM - 1) * pen.unit
    return Lettering(UNIT, x, y, text_width(UNIT, pen.capital))
