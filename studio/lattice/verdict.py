"""Whether a pattern can be printed with a studio's strips, and how large its cells must be."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise

from shapely import LineString

from studio.lattice.cell import opening_polygon
from studio.lattice.cut import Sizes, cut
from studio.lattice.holding import HOLDINGS, why_rim
from studio.lattice.kinds import kind_of
from studio.lattice.least_side import least_side_of_form_mm
from studio.lattice.pattern import CellForm, Pattern
from studio.lattice.piece import density
from studio.lattice.shapes import shape_in
from studio.lattice.sound import refuse_unsound
from studio.problem import Refused
from studio.voice import at_least, length, number, said

__all__ = ["ANGLES_DEG", "USUAL_SIDE_MM", "AngleVerdict", "CellVerdict", "Verdict", "verdict"]

Strips = tuple[float, float, float]

USUAL_ANGLE_DEG = 60.0
ANGLES_DEG = (30.0, 45.0, 60.0, 75.0, 90.0, 105.0, 120.0, 135.0, 150.0)
"""Of a diamond cell: those that a design may have, in steps of 15 degrees."""
USUAL_SIDE_MM = 44.0
"""As a new design has it; a verdict speaks of this side, or of the least one where that is larger."""
MOST_SIDES = 100
TOUCH_MM = 0.05
"""A piece that comes this near to a side touches it."""


@dataclass(frozen=True)
class CellVerdict:
    """One form of cell: the least side at which it can be printed, None when it never can. `rim` tells
    whether it has one at the verdict's side; `reason` says why it cannot be printed, or why it has a rim."""

    form: CellForm
    least_side_mm: float | None
    rim: bool
    reason: str

    @property
    def printable(self) -> bool:
        return self.least_side_mm is not None


@dataclass(frozen=True)
class AngleVerdict:
    """A diamond lattice of one angle: the least side, None when the pattern cannot be printed, and why."""

    angle_deg: float
    least_side_mm: float | None
    reason: str


@dataclass(frozen=True)
class Verdict:
    """Whether every form can be printed (in a diamond lattice: at 60 degrees), and from which side on.

    `side_mm` is the side for which rims and `density` (share of the clear openings that is covered) are
    given; both None when it cannot be printed. `angles` is empty but for a diamond lattice. `reasons` says
    all of it in plain words."""

    least_side_mm: float | None
    side_mm: float | None
    density: float | None
    forms: tuple[CellVerdict, ...]
    angles: tuple[AngleVerdict, ...]
    reasons: tuple[str, ...]

    @property
    def printable(self) -> bool:
        return self.least_side_mm is not None

    @property
    def rim(self) -> bool:
        return any(form.rim for form in self.forms)


def verdict(pattern: Pattern, strip_mm: float, infill_strip_mm: float, clearance_mm: float) -> Verdict:
    """The verdict on a pattern with ground strips and infill strips of these widths (mm) and this play on
    each side. Raises Refused for a pattern whose strokes make no sense."""
    refuse_unsound(pattern)
    strips = strip_mm, infill_strip_mm, clearance_mm
    found = [_least(pattern, form, strips, USUAL_ANGLE_DEG) for form in kind_of(pattern.lattice).forms]
    sides = [side for side, _ in found if side is not None]
    least = max(sides) if len(sides) == len(found) else None
    side = None if least is None else _side(pattern, least, strips)
    forms = tuple(
        _form(pattern, form, *each, None if side is None else Sizes(side, *strips))
        for form, each in zip(kind_of(pattern.lattice).forms, found, strict=True)
    )
    angles = tuple(_angles(pattern, strips)) if kind_of(pattern.lattice).angled else ()
    covered = None if side is None else density(pattern, side, *strips)
    result = Verdict(least, side, covered, forms, angles, ())
    return replace(result, reasons=tuple(_reasons(pattern, result, strips)))


def _side(pattern: Pattern, least: float, strips: Strips) -> float | None:
    """The side to speak of: the usual one where it is large enough, else the least one; the next larger one
    that can be printed where a pattern closes up in between."""
    sides = (max(least, USUAL_SIDE_MM) + more / 2 for more in range(MOST_SIDES))
    return next((side for side in sides if _printable(pattern, Sizes(side, *strips))), None)


def _printable(pattern: Pattern, sizes: Sizes) -> bool:
    return not any(cut(pattern, form, sizes).flaw for form in kind_of(pattern.lattice).forms)


def _least(pattern: Pattern, form: CellForm, strips: Strips, angle_deg: float) -> tuple[float | None, str]:
    """The least side of a form; else why there is none."""
    try:
        return least_side_of_form_mm(pattern, form, *strips, angle_deg), ""
    except Refused as refused:
        return None, refused.problems[0].reason


def _form(
    pattern: Pattern, form: CellForm, least: float | None, reason: str, sizes: Sizes | None
) -> CellVerdict:
    rim = sizes is not None and cut(pattern, form, sizes).rim
    return CellVerdict(form, least, rim, reason or why_rim(pattern, rim))


def _angles(pattern: Pattern, strips: Strips) -> Iterator[AngleVerdict]:
    for angle in ANGLES_DEG:
        found = [_least(pattern, form, strips, angle) for form in kind_of(pattern.lattice).forms]
        reason = next((reason for _, reason in found if reason), "")
        yield AngleVerdict(angle, None if reason else max(side for side, _ in found if side), reason)


def _reasons(pattern: Pattern, found: Verdict, strips: Strips) -> Iterator[str]:
    at = " at 60 degrees" if kind_of(pattern.lattice).angled else ""
    if found.least_side_mm is None:
        yield f"It cannot be printed{at} with these strips."
    elif found.side_mm and found.density is not None:
        yield said(
            "It can be printed in cells with a side of at least {}{}.", at_least(found.least_side_mm), at
        )
        covered = number(100 * found.density, 0)
        yield said("It covers {} % of the openings at a side of {}.", covered, length(found.side_mm))
        yield from _loose(pattern, Sizes(found.side_mm, *strips))
    flawed = (form for form in found.forms if form.reason)
    yield from (said("{} cells: {}.", form.form.capitalize(), form.reason) for form in flawed)
    if found.angles:
        yield _range_of_angles(found.angles)
    if not pattern.is_open:
        held = HOLDINGS[pattern.holding]
        yield _sentence(f"{held.how}; {held.later}")


def _loose(pattern: Pattern, sizes: Sizes) -> Iterator[str]:
    """Forms that do not touch every side of their cell: nothing keeps them from tilting."""
    for form in kind_of(pattern.lattice).forms:
        shape, outline = shape_in(form, 0), cut(pattern, form, sizes).outline
        inset_mm = sizes.strip_mm / 2 + sizes.clearance_mm
        corners = opening_polygon(pattern.lattice, shape, 0, sizes.side_mm, inset_mm).exterior.coords
        free = sum(LineString(side).distance(outline) > TOUCH_MM for side in pairwise(corners))
        if free and not outline.is_empty:
            yield f"In {form} cells it does not reach {free} of the {len(corners) - 1} sides, and sits loose."


def _range_of_angles(angles: tuple[AngleVerdict, ...]) -> str:
    good = [f"{each.angle_deg:g}" for each in angles if each.least_side_mm is not None]
    bad = [f"{each.angle_deg:g}" for each in angles if each.least_side_mm is None]
    if not bad:
        return f"It can be printed at every angle from {good[0]} to {good[-1]} degrees."
    if not good:
        return "It cannot be printed at any angle."
    return f"It can be printed at {', '.join(good)} degrees, not at {', '.join(bad)}."


def _sentence(text: str) -> str:
    return f"{text[0].upper()}{text[1:]}."
