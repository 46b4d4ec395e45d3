"""The edging as parts: rails outside the outer strips' centre lines, and four corners."""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import ceil

from studio.lattice.cells import crossing, crossing_across
from studio.lattice.design import Design
from studio.lattice.face import rectangle
from studio.lattice.fit import Fit
from studio.lattice.modules import Module
from studio.lattice.part import Part
from studio.lattice.sections import Section
from studio.lattice.split import TOLERANCE_MM, BedLimit
from studio.problem import Refused
from studio.voice import Said, at_most, length, said

__all__ = ["Run", "edging_parts", "edging_runs", "rail_lengths"]

CORNERS = 4


def edging_parts(
    design: Design, fit: Fit, sections: Sequence[Section], modules: Sequence[Module], beds: Sequence[BedLimit]
) -> tuple[Part, ...]:
    """Rails by length and the corners; none without an edging. No spares, as for sections.

    Raises Refused when the edging is wider than every bed.
    """
    width_mm = float(design.edging_width_mm)
    if not width_mm:
        return ()
    lengths = Counter(
        round(length, 2) for length in rail_lengths(fit, sections, modules, _longest(design, beds))
    )
    rails = [
        _part(design, "rail", length, width_mm, count)
        for length, count in sorted(lengths.items(), reverse=True)
    ]
    return *rails, _part(design, "corner", width_mm, width_mm, CORNERS)


@dataclass(frozen=True, slots=True)
class Run:
    """One side of a module (an index) at the panel's edge, between corners and joints of modules: from and
    to, (x, y) in mm along the outer strip's centre line."""

    module: int
    first: tuple[float, float]
    last: tuple[float, float]
    length_mm: float


def rail_lengths(
    fit: Fit, sections: Sequence[Section], modules: Sequence[Module], longest_mm: float
) -> Iterator[float]:
    """Length of every rail. Rails end where modules meet, and a run longer than a bed is cut into equal
    rails."""
    for run in edging_runs(fit, sections, modules):
        rails = ceil((run.length_mm - TOLERANCE_MM) / longest_mm)
        yield from [run.length_mm / rails] * rails


def edging_runs(fit: Fit, sections: Sequence[Section], modules: Sequence[Module]) -> Iterator[Run]:
    """The panel's four sides between corners and module joints."""
    across, up = fit.across, fit.up
    for index, module in enumerate(modules):
        first, last = sections[module.sections[0]], sections[module.sections[-1]]
        left, right = first.column, last.column + last.columns
        bottom, top = first.row, last.row + last.rows
        for line in [0] * (bottom == 0) + [up.steps] * (top == up.addresses):
            ends = crossing_across(fit, left, line), crossing_across(fit, right, line)
            low, high = ((end * across.step_mm, line * up.step_mm) for end in ends)
            yield Run(index, low, high, (ends[1] - ends[0]) * across.step_mm)
        for line in [0] * (left == 0) + [across.steps] * (right == across.addresses):
            ends = crossing(fit, line, bottom), crossing(fit, line, top)
            low, high = ((line * across.step_mm, end * up.step_mm) for end in ends)
            yield Run(index, low, high, (ends[1] - ends[0]) * up.step_mm)


def _longest(design: Design, beds: Sequence[BedLimit]) -> float:
    """The longest side of a bed that takes a rail."""
    width_mm, depth_mm = float(design.edging_width_mm), float(design.depth_mm)
    sides = [sorted((bed.width_mm, bed.depth_mm)) for bed in beds if bed.height_mm >= depth_mm]
    fitting = [long for short, long in sides if short >= width_mm]
    if not fitting:
        widest = max((short for short, _ in sides), default=0)
        raise Refused.because(
            "design.edging_width_mm",
            said("an edging of {} is wider than every usable bed", length(width_mm)),
            said("at most {}", at_most(widest)),
        )
    return max(fitting)


def _part(design: Design, code: str, length_mm: float, width_mm: float, count: int) -> Part:
    return Part(
        code="corner" if code == "corner" else "rail",
        pattern="",
        size=Said(
            "{} × {}", length(length_mm, 1), length(width_mm, 1), plain=f"{length_mm:.1f} × {width_mm:.1f} mm"
        ),
        filament=design.edging_filament,
        face=rectangle(length_mm, width_mm),
        depth_mm=float(design.depth_mm),
        count=count,
        spares=0,
        nests="box",
    )
