"""Which dimensions a panel gets: each size once, outside the panel, overall sizes outermost (ISO 129-1)."""

from dataclasses import dataclass

import numpy as np

from studio.drawing.dimension import Dimension
from studio.drawing.lettering import text_width
from studio.drawing.rings import PER_MM
from studio.drawing.sheet import Frame, Lettering, Pen, Segment, frame_of
from studio.lattice.axis import Axis
from studio.lattice.cells import off_crossing
from studio.lattice.composition import Composition
from studio.lattice.fit import Fit
from studio.voice import PLAIN, Voice

__all__ = ["Dimensioned", "dimensioned", "margins_mm"]

FIRST_MM, NEXT_MM = 8.0, 7.5
"""On the sheet: from the outline to the first dimension line, and from line to line."""
BESIDE_MM, BELOW_MM, ABOVE_MM, RIGHT_MM, NONE_MM = 21.0, 18.0, 13.5, 11.0, 2.0
"""Room on the sheet for two dimensions on the left and below, for one above and on the right, for none."""


@dataclass(frozen=True, slots=True)
class Dimensioned:
    """Dimension lines and lettering in drawing units; the panel and the frame that holds all of it."""

    lines: tuple[Segment, ...]
    lettering: tuple[Lettering, ...]
    panel: Frame
    frame: Frame


def dimensioned(composition: Composition, pen: Pen, voice: Voice = PLAIN) -> Dimensioned:
    """All dimensions of a panel; the millimetre, since figures do not carry it, is noted where their
    lines would meet."""
    lines: list[Segment] = []
    panel = frame_of(composition)
    lettering = [_unit_note(panel, pen)] if voice.units == "metric" else []
    for dimension in dimensions_of(composition, pen.unit, voice):
        drawn, text = dimension.drawn(pen)
        lines += drawn
        lettering.append(text)
    usual = panel.grown(*(margin * pen.unit for margin in margins_mm(composition.fit)))
    return Dimensioned(tuple(lines), tuple(lettering), panel, _framed(usual, lines, pen))


def margins_mm(fit: Fit) -> tuple[float, float, float, float]:
    """Room on the sheet for dimensions: left, top, right, bottom."""
    top, right = _sides_go(fit)
    return BESIDE_MM, ABOVE_MM if top else NONE_MM, RIGHT_MM if right else NONE_MM, BELOW_MM


def _framed(usual: Frame, lines: list[Segment], pen: Pen) -> Frame:
    """The usual frame, larger where a figure stands beyond the end of its line."""
    ends = np.array(lines).reshape(-1, 2)
    low, high = ends.min(axis=0) - pen.unit, ends.max(axis=0) + pen.unit
    return Frame(
        min(usual.left, low[0]), min(usual.top, low[1]), max(usual.right, high[0]), max(usual.bottom, high[1])
    )


def dimensions_of(composition: Composition, unit: float, voice: Voice) -> list[Dimension]:
    fit, frame = composition.fit, frame_of(composition)
    first, overall = FIRST_MM * unit, (FIRST_MM + NEXT_MM) * unit
    width, height = PER_MM * fit.lattice_width_mm, PER_MM * fit.lattice_height_mm
    across, up = voice.figure(fit.lattice_width_mm), voice.figure(fit.lattice_height_mm)
    columns, rows = _counted(fit.across, "column", voice), _counted(fit.up, "row", voice)
    found = [
        Dimension((f"{columns}: {across}", across), 0, width, frame.bottom + first, frame.bottom),
        Dimension((f"{rows}: {up}", up), height, 0, frame.left - first, frame.left, upright=True),
        *_crossings_up(fit, frame, first, voice),
        *_crossings_across(fit, frame, first, voice),
    ]
    if frame.left < 0:  # without an edging the lattice is the panel, and no size is given twice
        whole = voice.figure(fit.width_mm), voice.figure(fit.height_mm)
        found += [
            Dimension(whole[:1], frame.left, frame.right, frame.bottom + overall, frame.bottom),
            Dimension(whole[1:], frame.bottom, frame.top, frame.left - overall, frame.left, upright=True),
        ]
    return found


def _counted(way: Axis, noun: str, voice: Voice) -> str:
    """How many cells there are one way: where lines zigzag, a cell is two steps."""
    if not way.zigzag:
        return voice.count(way.steps, noun)
    halves = "½" if way.steps % 2 else ""
    return f"{way.steps // 2 or ''}{halves} cell" + ("" if way.steps <= 2 else "s")


def _crossings_up(fit: Fit, frame: Frame, first: float, voice: Voice) -> list[Dimension]:
    """From the lowest crossing on the right-hand edge to the next one: a cell's side, or the upright diagonal
    in a diamond lattice. None where there is no next one, or where only the top edge shows the side."""
    steps = 1 + fit.up.zigzag
    start = off_crossing(fit, fit.across.steps)
    if start + steps > fit.up.steps or not _sides_go(fit)[1]:
        return []
    low, high = (PER_MM * fit.up.step_mm * (fit.up.steps - step) for step in (start, start + steps))
    text = voice.figure(steps * fit.up.step_mm)
    return [Dimension((text,), low, high, frame.right + first, frame.right, upright=True)]


def _crossings_across(fit: Fit, frame: Frame, first: float, voice: Voice) -> list[Dimension]:
    """The same along the top edge, from the right."""
    steps = 1 + fit.across.zigzag
    end = fit.across.steps - off_crossing(fit, fit.across.steps + fit.up.steps)
    if end < steps or not _sides_go(fit)[0]:
        return []
    left, right = (PER_MM * fit.across.step_mm * step for step in (end - steps, end))
    return [Dimension((voice.figure(steps * fit.across.step_mm),), left, right, frame.top - first, frame.top)]


def _sides_go(fit: Fit) -> tuple[bool, bool]:
    """Whether the top edge and the right-hand edge show how large a cell is; where cells are as high as wide,
    one is enough."""
    oblong = fit.kind.straight and fit.across.step_mm != fit.up.step_mm
    return fit.across.zigzag or oblong, fit.up.zigzag or not fit.across.zigzag


def _unit_note(frame: Frame, pen: Pen) -> Lettering:
    x = frame.left - (FIRST_MM + NEXT_MM) * pen.unit
    y = frame.bottom + (FIRST_MM + NEXT_MM - 1) * pen.unit
    return Lettering("mm", x, y, text_width("mm", pen.capital))
