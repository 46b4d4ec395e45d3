"""A design carried over to another lattice, and held to one fit."""

from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal

from studio.lattice.design import Design, Infill, LatticeKind
from studio.lattice.fit import Fit
from studio.lattice.infills import infills_of, with_infills
from studio.lattice.patterns import OPEN, pattern_of, patterns
from studio.lattice.shapes import family_of
from studio.problem import Refused

__all__ = ["held_to", "in_lattice"]


def in_lattice(design: Design, lattice: LatticeKind) -> tuple[Design, tuple[str, ...]]:
    """The design in another lattice, as many cells as fit, and what had to give way in plain words. A pattern
    that the lattice does not have becomes its first one, in the same colour; single cells of another lattice
    have no place."""
    if lattice == design.lattice:
        return design, ()
    own = tuple(each for each in design.own_patterns if each.lattice == family_of(lattice))
    bare = replace(design, lattice=lattice, columns=None, rows=None, touch_ups=(), own_patterns=own)
    first = next(each for each in patterns(lattice) if each.slug != OPEN)

    def known(infill: Infill) -> Infill:
        return infill if _has(bare, infill) else replace(infill, pattern=first.slug)

    carried = with_infills(bare, known)
    return carried, tuple(_given_up(design, carried, first.name))


def held_to(design: Design, fit: Fit) -> Design:
    """The design with the side and the counts of a fit in its lattice: that fit and no other."""
    return replace(
        design,
        cell_side_mm=Decimal(str(fit.cell_side_mm)),
        side_play_percent=Decimal(0),
        columns=fit.columns,
        rows=fit.rows,
    )


def _has(design: Design, infill: Infill) -> bool:
    try:
        pattern_of(design, infill)
    except Refused:
        return False
    return True


def _given_up(design: Design, carried: Design, instead: str) -> Iterator[str]:
    old, new = infills_of(replace(design, touch_ups=())), infills_of(carried)
    names = {
        pattern_of(design, infill).name.lower(): None
        for field, infill in old.items()
        if infill != new[field] and _has(design, infill)
    }
    if names:
        yield f"{instead.lower()} instead of {' and '.join(names)}"
    if design.touch_ups:
        yield "without the single cells"
