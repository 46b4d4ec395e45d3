"""What the workshop is told about a pattern: how it looks and whether it can be printed. Pure."""

from dataclasses import dataclass

from studio.drawing.swatch import swatch_side_mm, swatch_svg
from studio.lattice.design import Design
from studio.lattice.pattern import Pattern
from studio.lattice.piece import density, least_side_mm
from studio.lattice.verdict import Verdict, verdict
from studio.memo import memo
from studio.problem import Problem, Refused

__all__ = ["STRIPS_MM", "Facts", "facts", "judged", "refuse_unprintable"]

STRIPS_MM = (float(Design.strip_width_mm), float(Design.infill_strip_mm), float(Design.clearance_mm))
"""Ground strips, infill strips and play on each side, as a new design has them."""
COLOUR = "#b08d57"


@dataclass(frozen=True)
class Facts:
    """`least_side_mm` is the smallest cell side, `covered` the share of the clear openings at the side
    at which it is shown; both None, and `swatch` (SVG) empty, where it cannot be printed."""

    pattern: Pattern
    swatch: str = ""
    least_side_mm: float | None = None
    covered: float | None = None

    @property
    def percent(self) -> float:
        return 100 * (self.covered or 0)


@memo
def facts(pattern: Pattern) -> Facts:
    """The facts with the usual strips; of values that never change, so kept."""
    try:
        least_mm = least_side_mm(pattern, *STRIPS_MM)
    except Refused:
        return Facts(pattern)
    ident = f"{pattern.lattice}-{pattern.slug}-{pattern.revision}"
    swatch = swatch_svg(pattern, pattern.lattice, COLOUR, title=pattern.name, ident=ident)
    return Facts(pattern, swatch, least_mm, density(pattern, swatch_side_mm(pattern), *STRIPS_MM))


@memo
def judged(pattern: Pattern) -> Verdict:
    """The verdict with the usual strips. Raises Refused for strokes that make no sense."""
    return verdict(pattern, *STRIPS_MM)


def refuse_unprintable(pattern: Pattern) -> Verdict:
    """The verdict, when it is a good one; Refused with each reason when it is not."""
    found = judged(pattern)
    flaws = [form for form in found.forms if not form.printable]
    if not found.printable:
        remedy = "wider gaps and strokes that hang together, or a rim"
        raise Refused(*(Problem(form.form.replace(" ", "_"), form.reason, remedy) for form in flaws))
    return found
