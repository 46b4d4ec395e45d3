"""Sparser patterns: which there are for a design, and what a panel that has them gives up."""

from collections import Counter
from typing import get_args

import numpy as np

from studio.lattice.arrange import arrange
from studio.lattice.cells import cells_of
from studio.lattice.composition import Composition
from studio.lattice.design import Design, Infill
from studio.lattice.infills import infills_of
from studio.lattice.pattern import CellForm, Pattern
from studio.lattice.patterns import OPEN, pattern_of, patterns
from studio.lattice.piece import density, piece_for
from studio.problem import Refused

__all__ = ["by_density", "pieces_by_infill", "sparser", "sparser_told"]


def pieces_by_infill(composition: Composition) -> dict[Infill, int]:
    """How many pieces there are of each infill that there are any of."""
    arranged = arrange(composition.design, composition.fit, cells_of(composition.fit))
    counts = np.bincount(arranged.infill[composition.piece >= 0], minlength=len(arranged.infills)).tolist()
    found: Counter[Infill] = Counter()
    for infill, count in zip(arranged.infills, counts, strict=True):
        found[infill] += count
    return dict(+found)


def by_density(design: Design, side_mm: float) -> dict[str, float]:
    """Share of the opening that each pattern covers, for those that can be printed at this side."""
    strips = float(design.strip_width_mm), float(design.infill_strip_mm), float(design.clearance_mm)
    found = {}
    for slug in {each.slug for each in (*patterns(design.lattice), *design.own_patterns)}:
        try:
            each = _pattern(design, slug)
            for shape, facing in design.kind.shapes:
                piece_for(each, design.lattice, shape, facing, side_mm, *strips, float(design.angle_deg))
            if not each.is_open:
                found[each.slug] = density(each, side_mm, *strips, float(design.angle_deg))
        except Refused:
            continue
    return found


def sparser(design: Design, slug: str, share: float, dense: dict[str, float]) -> str | None:
    """The densest pattern that covers no more than this share of what `slug` covers, and fills the same cells
    as it; else None."""
    most, filled = share * dense.get(slug, 0), _filled(design, slug)
    return max(
        (s for s, covered in dense.items() if covered <= most and _filled(design, s) == filled),
        key=lambda s: (dense[s], s),
        default=None,
    )


def _filled(design: Design, slug: str) -> set[tuple[str, str]]:
    """The forms of cells, and the facings of them, in which there is a piece."""
    found = _pattern(design, slug)
    facings = ("left", "right") if found.facings == "both" else (found.facings,)
    return {(form, facing) for form in get_args(CellForm) if found.strokes(form) for facing in facings}


def sparser_told(before: Design, made: Composition) -> str:
    """Such as "cross instead of pinwheel and well crib", once for each new pattern that some cell has."""
    arranged = arrange(made.design, made.fit, cells_of(made.fit))
    old = list(infills_of(before).values())
    pairs = {(arranged.infills[i].pattern, old[i]) for i in np.unique(arranged.infill).tolist()}
    names: dict[str, set[str]] = {}
    for new, infill in pairs:
        if new != infill.pattern:
            name = _name(before, infill.pattern)
            names.setdefault(new, set()).add(f"{name} in {infill.filament}" if new == OPEN else name)
    return ", ".join(
        f"{' and '.join(sorted(names[new]))} left open"
        if new == OPEN
        else f"{_name(before, new)} instead of {' and '.join(sorted(names[new]))}"
        for new in sorted(names)
    )


def _pattern(design: Design, slug: str) -> Pattern:
    return pattern_of(design, Infill(pattern=slug, filament="-"))


def _name(design: Design, slug: str) -> str:
    return _pattern(design, slug).name.lower()
