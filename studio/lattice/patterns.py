"""The patterns that a studio can choose from, by lattice."""

from collections.abc import Iterable
from difflib import get_close_matches

from studio.lattice.design import Design, Infill
from studio.lattice.kinds import Kind, LatticeKind, kind_of, kinds
from studio.lattice.pattern import Pattern
from studio.lattice.sound import unsound
from studio.memo import memo
from studio.problem import Problem, Refused, refuse_all

__all__ = ["OPEN", "pattern", "pattern_of", "patterns", "usual_patterns"]

OPEN = "open"
"""The pattern that leaves its cell empty, in every lattice."""


def patterns(lattice: LatticeKind | None = None) -> tuple[Pattern, ...]:
    """Every pattern that comes with the program, of one lattice or of all; "open" first, once for each
    family."""
    if lattice:
        return tuple(_by_slug(kind_of(lattice)).values())
    return tuple(each for kind in kinds() if kind.name == kind.family for each in patterns(kind.name))


@memo
def _by_slug(kind: Kind) -> dict[str, Pattern]:
    nothing = Pattern(slug=OPEN, name="Open", shows="Leaves the cell empty.", lattice=kind.family)
    return {each.slug: each for each in (nothing, *kind.patterns)}


def pattern(slug: str, lattice: LatticeKind | None = None, own: Iterable[Pattern] = ()) -> Pattern:
    """The pattern called `slug`, of the studio's `own` ones or of those that come with the program; with
    `lattice`, the one for that lattice. Raises Refused when there is none, and when an own one's strokes make
    no sense."""
    family = lattice and kind_of(lattice).family
    for found in own:
        if found.slug == slug and family in (None, found.lattice):
            return _sound(found)
    of_kinds = (kind_of(lattice),) if lattice else kinds()
    anywhere = [_by_slug(kind)[slug] for kind in of_kinds if slug in _by_slug(kind)]
    if not anywhere:
        raise Refused.because("pattern", _why_unknown(slug, lattice), _what_exists(slug, lattice, own))
    return anywhere[0]


def usual_patterns(lattice: LatticeKind) -> tuple[str, str]:
    """The slugs of a pattern for the field and one for the border, where nobody chose."""
    return kind_of(lattice).usual


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
    family = lattice and kind_of(lattice).family
    slugs = sorted({p.slug for p in (*patterns(), *own) if family in (None, p.lattice)})
    near = get_close_matches(slug.strip().lower().replace(" ", "-"), slugs, n=3)
    return f"one of {', '.join(near or slugs)}"
