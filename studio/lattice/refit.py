"""A design carried over to another lattice, and held to one fit."""

from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from itertools import cycle

from studio.lattice.design import Design, Infill
from studio.lattice.fit import Fit
from studio.lattice.infills import infills_of, with_infills
from studio.lattice.kinds import LatticeKind, kind_of
from studio.lattice.patterns import pattern_of, usual_patterns
from studio.problem import Refused

__all__ = ["held_to", "in_lattice", "seams_outside", "with_seams_of"]


def in_lattice(design: Design, lattice: LatticeKind) -> tuple[Design, tuple[str, ...]]:
    """The design in another lattice, as many cells as fit, and what had to give way in plain words. Patterns
    that the lattice does not have become its two usual ones by turns, in the same colours; single cells and
    fixed seams of another lattice have no place."""
    if lattice == design.lattice:
        return design, ()
    own = tuple(each for each in design.own_patterns if each.lattice == kind_of(lattice).family)
    bare = replace(design, lattice=lattice, columns=None, rows=None, touch_ups=(), own_patterns=own)
    bare = replace(bare, seams_after_columns=(), seams_after_rows=())
    lacking = dict.fromkeys(infill.pattern for infill in _main_first(bare) if not _has(bare, infill))
    instead = dict(zip(lacking, cycle(usual_patterns(lattice)), strict=False))
    carried = with_infills(bare, lambda i: replace(i, pattern=instead.get(i.pattern, i.pattern)))
    return carried, tuple(_given_up(design, carried))


def held_to(design: Design, fit: Fit) -> Design:
    """The design with the side and the counts of a fit in its lattice: that fit and no other. Fixed seams
    that lie outside it are left out."""
    return replace(
        with_seams_of(design, fit),
        cell_side_mm=Decimal(str(fit.cell_side_mm)),
        side_play_percent=Decimal(0),
        columns=fit.columns,
        rows=fit.rows,
    )


def with_seams_of(design: Design, fit: Fit) -> Design:
    """The design without the fixed seams that lie outside of a fit."""
    columns, rows = _inside(design, fit)
    return replace(design, seams_after_columns=columns, seams_after_rows=rows)


def _inside(design: Design, fit: Fit) -> tuple[tuple[int, ...], tuple[int, ...]]:
    ways = zip((fit.across, fit.up), design.seam_lines, strict=True)
    columns, rows = (
        tuple(line for line in lines if line < axis.addresses - axis.zigzag) for axis, lines in ways
    )
    return columns, rows


def seams_outside(design: Design, fit: Fit) -> tuple[str, ...]:
    """The fixed seams that a fit has no place for, in plain words."""
    return tuple(
        f"without the seam after {noun} {line}"
        for noun, lines, kept in zip(("column", "row"), design.seam_lines, _inside(design, fit), strict=True)
        for line in lines
        if line not in kept
    )


def _main_first(design: Design) -> list[Infill]:
    """The design's infills, that of the field before that of its border."""
    found = infills_of(design)
    return [found[field] for field in sorted(found, key=lambda field: field != "arrangement.field")]


def _has(design: Design, infill: Infill) -> bool:
    try:
        pattern_of(design, infill)
    except Refused:
        return False
    return True


def _given_up(design: Design, carried: Design) -> Iterator[str]:
    old, new = infills_of(replace(design, touch_ups=())), infills_of(carried)
    changed = [field for field, infill in old.items() if infill != new[field] and _has(design, infill)]
    changed.sort(key=lambda field: field != "arrangement.field")
    names, others = (
        " and ".join(dict.fromkeys(pattern_of(of, found[field]).name.lower() for field in changed))
        for of, found in ((design, old), (carried, new))
    )
    if names:
        yield f"{others} instead of {names}"
    if design.touch_ups:
        yield "without the single cells"
    if any(design.seam_lines):
        yield "without the fixed seams"
