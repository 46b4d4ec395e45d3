"""The patterns that a studio can choose from, as data for each family of lattices."""

from collections.abc import Iterable
from difflib import get_close_matches
from typing import get_args

from studio.lattice.design import Design, Infill, LatticeKind
from studio.lattice.pattern import Family, Pattern
from studio.lattice.patterns.diamond import DIAMOND
from studio.lattice.patterns.square import SQUARE
from studio.lattice.patterns.three_way import THREE_WAY
from studio.lattice.shapes import family_of
from studio.lattice.sound import unsound
from studio.problem import Problem, Refused, refuse_all

__all__ = ["OPEN", "pattern", "pattern_of", "patterns", "usual_patterns"]

OPEN = "open"
"""The pattern that leaves its cell empty, in every lattice."""

_USUAL = ("hemp-leaf", "square-hemp-leaf", "crossed-diamond", "basket-weave", "well-crib", "diamond-leaf")
_OPEN = tuple(
    Pattern(slug=OPEN, name="Open", shows="Leaves the cell empty.", lattice=family)
    for family in get_args(Family)
)
_ALL = {(p.lattice, p.slug): p for p in (*_OPEN, *THREE_WAY, *SQUARE, *DIAMOND)}


def patterns(lattice: LatticeKind | None = None) -> tuple[Pattern, ...]:
    """Every pattern that comes with the program, of one lattice or of all; "open" first, once for each
    family."""
    family = lattice and family_of(lattice)
    return tuple(p for p in _ALL.values() if family in (None, p.lattice))


def pattern(slug: str, lattice: LatticeKind | None = None, own: Iterable[Pattern] = ()) -> Pattern:
    """The pattern called `slug`, of the studio's `own` ones or of those that come with the program; with
    `lattice`, the one for that lattice. Raises Refused when there is none, and when an own one's strokes make
    no sense."""
    family = lattice and family_of(lattice)
    for found in own:
        if found.slug == slug and family in (None, found.lattice):
            return _sound(found)
    if family and (family, slug) in _ALL:
        return _ALL[family, slug]
    anywhere = [p for p in patterns(lattice) if p.slug == slug]
    if not anywhere:
        raise Refused.because("pattern", _why_unknown(slug, lattice), _what_exists(slug, lattice, own))
    return anywhere[0]


def usual_patterns(lattice: LatticeKind) -> tuple[str, str]:
    """The slugs of a pattern for the field and one for the border, where nobody chose."""
    slugs = [each.slug for each in patterns(lattice) if not each.is_open]
    first, second, *_others = dict.fromkeys((*(slug for slug in _USUAL if slug in slugs), *slugs))
    return first, second


def pattern_of(design: Design, infill: Infill) -> Pattern:
    """The pattern of one of the design's infills. Raises Refused when there is none."""
    return pattern(infill.pattern, design.lattice, design.own_patterns)


def _sound(own: Pattern) -> Pattern:
    refuse_all(
        Problem("pattern", f"the studio's pattern “{own.slug}”, {p.field}: {p.reason}", p.remedy)
        for p in unsound(own)
    )
    return own


def _why_unknown(slug: str, lattice: LatticeKind | None) -> str:
    if lattice and any(p.slug == slug for p in patterns()):
        return f"“{slug}” is not a pattern for a {lattice} lattice"
    return f"there is no pattern called “{slug}”"


def _what_exists(slug: str, lattice: LatticeKind | None, own: Iterable[Pattern]) -> str:
    family = lattice and family_of(lattice)
    slugs = sorted({p.slug for p in (*patterns(), *own) if family in (None, p.lattice)})
    near = get_close_matches(slug.strip().lower().replace(" ", "-"), slugs, n=3)
    return f"one of {', '.join(near or slugs)}"
