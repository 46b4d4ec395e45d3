"""The edging as parts: rails outside the outer strips' centre lines, and four corners."""

from collections import Counter
from collections.abc import Iterator, Sequence
from math import ceil

from studio.lattice.cells import address_rows, crossing
from studio.lattice.design import Design
from studio.lattice.face import rectangle
from studio.lattice.fit import Fit
from studio.lattice.modules import Module
from studio.lattice.part import Part
from studio.lattice.sections import Section
from studio.lattice.split import TOLERANCE_MM, BedLimit
from studio.problem import Refused

__all__ = ["edging_parts", "rail_lengths"]

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


def rail_lengths(
    fit: Fit, sections: Sequence[Section], modules: Sequence[Module], longest_mm: float
) -> Iterator[float]:
    """Length of every rail. Rails end where modules meet, and a run longer than a bed is cut into equal
    rails."""
    for run_mm in _runs(fit, sections, modules):
        rails = ceil((run_mm - TOLERANCE_MM) / longest_mm)
        yield from [run_mm / rails] * rails


def _runs(fit: Fit, sections: Sequence[Section], modules: Sequence[Module]) -> Iterator[float]:
    """Lengths of the panel's four sides between corners and module joints."""
    column_mm, row_mm = fit.lattice_width_mm / fit.columns, fit.lattice_height_mm / fit.rows
    for module in modules:
        first, last = sections[module.sections[0]], sections[module.sections[-1]]
        right, top = last.column + last.columns, last.row + last.rows
        touched = (first.row == 0) + (top == address_rows(fit))
        yield from [(right - first.column) * column_mm] * touched
        for line in {0, fit.columns} & {first.column, right}:
            yield (crossing(fit, line, top) - crossing(fit, line, first.row)) * row_mm


def _longest(design: Design, beds: Sequence[BedLimit]) -> float:
    """The longest side of a bed that takes a rail."""
    width_mm, depth_mm = float(design.edging_width_mm), float(design.depth_mm)
    sides = [sorted((bed.width_mm, bed.depth_mm)) for bed in beds if bed.height_mm >= depth_mm]
    fitting = [long for short, long in sides if short >= width_mm]
    if not fitting:
        widest = max((short for short, _ in sides), default=0)
        raise Refused.because(
            "design.edging_width_mm",
            f"an edging of {width_mm:g} mm is wider than every usable bed",
            f"at most {widest:g} mm",
        )
    return max(fitting)


def _part(design: Design, code: str, length_mm: float, width_mm: float, count: int) -> Part:
    return Part(
        code="corner" if code == "corner" else "rail",
        pattern="",
        size=f"{length_mm:.1f} × {width_mm:.1f} mm",
        filament=design.edging_filament,
        face=rectangle(length_mm, width_mm),
        depth_mm=float(design.depth_mm),
        count=count,
        spares=0,
        nests="box",
    )
