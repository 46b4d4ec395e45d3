"""The smallest cells in which a pattern can be printed."""

from studio.lattice.cut import LEAST_STRIP_MM, Sizes, cut
from studio.lattice.kinds import kind_of
from studio.lattice.pattern import CellForm, Pattern
from studio.memo import memo
from studio.problem import Refused
from studio.voice import at_least, length, said

__all__ = ["least_side_mm", "least_side_of_form_mm", "refuse_thin_strip"]

SIDE_STEP_MM, SMALLEST_SIDE_MM, LARGEST_SIDE_MM = 0.5, 10.0, 400.0
"""Where the least side is looked for: the range of `Design.cell_side_mm`."""


def least_side_mm(
    design: Pattern, strip_mm: float, infill_strip_mm: float, clearance_mm: float, angle_deg: float = 60.0
) -> float:
    """The smallest cell side, in steps of 0.5 mm, from which on every form of the pattern can be printed.
    Raises Refused when no side up to 400 mm will do."""
    lengths = strip_mm, infill_strip_mm, clearance_mm, angle_deg
    return max(least_side_of_form_mm(design, form, *lengths) for form in kind_of(design.lattice).forms)


@memo
def least_side_of_form_mm(
    design: Pattern,
    form: CellForm,
    strip_mm: float,
    infill_strip_mm: float,
    clearance_mm: float,
    angle_deg: float = 60.0,
) -> float:
    """As `least_side_mm`, of one form of cell. Looked for downwards from the largest, because odd patterns
    close up again in cells that are larger than some that they fit; between the sides that are tried (each
    two thirds of the one before) a pattern is taken to behave."""
    refuse_thin_strip(design, infill_strip_mm)

    def flaw(steps: int) -> str:
        sizes = Sizes(steps * SIDE_STEP_MM, strip_mm, infill_strip_mm, clearance_mm, angle_deg)
        return cut(design, form, sizes).flaw

    least, good = int(SMALLEST_SIDE_MM / SIDE_STEP_MM), int(LARGEST_SIDE_MM / SIDE_STEP_MM)
    if reason := flaw(good):
        raise Refused.because(
            "design.infill_strip_mm",
            said(
                "{} with strips of {}: {}, whatever the cell side",
                design.name,
                length(infill_strip_mm),
                reason,
            ),
            "a wider infill strip, narrower ground strips, or another pattern",
        )
    bad = max(least, good * 2 // 3)
    while not flaw(bad):
        if bad == least:
            return SMALLEST_SIDE_MM
        good, bad = bad, max(least, bad * 2 // 3)
    while good - bad > 1:
        middle = (bad + good) // 2
        bad, good = (middle, good) if flaw(middle) else (bad, middle)
    return good * SIDE_STEP_MM


def refuse_thin_strip(design: Pattern, infill_strip_mm: float) -> None:
    """Raise Refused when the pattern's strips would be narrower than two beads."""
    width_mm = infill_strip_mm * design.strip_factor
    if not design.is_open and width_mm < LEAST_STRIP_MM:
        raise Refused.because(
            "design.infill_strip_mm",
            said(
                "{} would have strips {} wide, two beads take {}",
                design.name,
                length(width_mm),
                length(LEAST_STRIP_MM),
            ),
            said("an infill strip of at least {}", at_least(LEAST_STRIP_MM / design.strip_factor)),
        )
