"""The patterns that a studio can choose from, as data for each lattice."""

from difflib import get_close_matches
from typing import get_args

from studio.lattice.design import LatticeKind
from studio.lattice.pattern import Pattern
from studio.lattice.patterns.square import SQUARE
from studio.lattice.patterns.three_way import THREE_WAY
from studio.problem import Refused

__all__ = ["OPEN", "pattern", "patterns"]

OPEN = "open"
"""The pattern that leaves its cell empty, in every lattice."""

_OPEN = {
    lattice: Pattern(slug=OPEN, name="Open", shows="Leaves the cell empty.", lattice=lattice, strokes={})
    for lattice in get_args(LatticeKind)
}
_ALL = {(p.lattice, p.slug): p for p in (*_OPEN.values(), *THREE_WAY, *SQUARE)}


def patterns(lattice: LatticeKind | None = None) -> tuple[Pattern, ...]:
    """Every pattern, of one lattice or of all; "open" first, once for each lattice."""
    return tuple(p for p in _ALL.values() if lattice in (None, p.lattice))


def pattern(slug: str, lattice: LatticeKind | None = None) -> Pattern:
    """The pattern called `slug`; with `lattice`, the one for that lattice. Raises Refused when there is
    none."""
    found = [p for p in patterns(lattice) if p.slug == slug]
    if not found:
        raise Refused.because("pattern", _why_unknown(slug, lattice), _what_exists(slug, lattice))
    return found[0]


def _why_unknown(slug: str, lattice: LatticeKind | None) -> str:
    if lattice and any(p.slug == slug for p in patterns()):
        return f"“{slug}” is not a pattern for a {lattice} lattice"
    return f"there is no pattern called “{slug}”"


def _what_exists(slug: str, lattice: LatticeKind | None) -> str:
    slugs = sorted({p.slug for p in patterns(lattice)})
    near = get_close_matches(slug.strip().lower().replace(" ", "-"), slugs, n=3)
    return f"one of {', '.join(near or slugs)}"
