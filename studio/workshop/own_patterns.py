"""The studio's own patterns: added whole, one revision after another; retired, never changed."""

from dataclasses import replace

from django.db import transaction
from django.db.models import Exists, OuterRef, QuerySet
from django.utils import timezone

from studio.lattice.kinds import LatticeKind, kind_of
from studio.lattice.own_pattern import read_pattern
from studio.lattice.pattern import Pattern
from studio.lattice.patterns import patterns
from studio.memo import memo
from studio.people.models import User
from studio.problem import Refused
from studio.stored.door import Unreadable
from studio.stored.kinds import PATTERN
from studio.workshop.books import locked_studio
from studio.workshop.models import PatternRevision
from studio.workshop.pattern_facts import refuse_unprintable

__all__ = ["add", "checked", "newest", "pattern_in", "readable_in", "retire", "usable"]


def usable(lattice: LatticeKind) -> tuple[Pattern, ...]:
    """The newest revision of each pattern that is not retired, for one lattice, by slug. One query. What a
    design uses of them it embeds, so retiring one changes no option. Rows that cannot be read are none."""
    found = newest(retired=False).filter(lattice=kind_of(lattice).family).order_by("slug")
    return tuple(pattern for row in found if (pattern := readable_in(row)))


def newest(retired: bool) -> QuerySet[PatternRevision]:
    """The last revision of each pattern, of those that are retired or of the others: all revisions of a
    pattern are retired at once."""
    later = PatternRevision.objects.filter(slug=OuterRef("slug"), revision__gt=OuterRef("revision"))
    return PatternRevision.objects.filter(~Exists(later), retired_at__isnull=not retired)


def pattern_in(row: PatternRevision) -> Pattern:
    """Raises Unreadable."""
    return _read(row.document)


def readable_in(row: PatternRevision) -> Pattern | None:
    try:
        return pattern_in(row)
    except Unreadable:
        return None


def checked(text: str) -> Pattern:
    """The pattern in JSON text with the revision that `add` would give it now. Raises Refused where `add`
    would."""
    pattern = read_pattern(text)
    refuse_unprintable(pattern)
    last = PatternRevision.objects.filter(slug=pattern.slug).order_by("-revision").first()
    numbered = replace(pattern, revision=last.revision + 1 if last else 1)
    _refuse_taken(numbered, last)
    return numbered


@transaction.atomic
def add(text: str, by: User | None) -> PatternRevision:
    """The next revision of the pattern's slug. Raises Refused for what is no pattern, cannot be printed, has
    the slug or the name of another one, or stands just so already."""
    locked_studio()
    pattern = checked(text)
    document, sha256 = PATTERN.write_text(pattern)
    return PatternRevision.objects.create(
        slug=pattern.slug,
        revision=pattern.revision,
        lattice=pattern.lattice,
        document=document,
        sha256=sha256,
        by=by,
    )


@transaction.atomic
def retire(slug: str, by: User | None) -> bool:
    """Offer the pattern no more; False when none of that slug was offered. Designs that have it keep it. A
    new file of the same slug brings it back as a new revision."""
    locked_studio()
    standing = PatternRevision.objects.filter(slug=slug, retired_at=None)
    return bool(standing.update(retired_at=timezone.now(), retired_by=by))


def _refuse_taken(pattern: Pattern, last: PatternRevision | None) -> None:
    """Two patterns of one name could not be told apart in a picker or a bill; a slug keeps its lattice."""
    if last and last.lattice != pattern.lattice:
        reason = f"“{pattern.slug}” is a pattern of yours for a {last.lattice} lattice"
        raise Refused.because("slug", reason, "give this one a slug of its own")
    others = (*patterns(pattern.lattice), *usable(pattern.lattice))
    for other in others:
        if other.slug != pattern.slug and other.name.casefold() == pattern.name.casefold():
            reason = f"“{other.slug}” is called {other.name} already"
            raise Refused.because("name", reason, "give yours a name of its own")
    if any(replace(other, revision=pattern.revision) == pattern for other in others):
        raise Refused.because("document", "this very pattern is there already", "change the file first")


@memo
def _read(text: str) -> Pattern:
    """Revisions never change, so what was read once need not be read again."""
    return PATTERN.read_text(text)
