"""The studio's own patterns: added whole, one revision after another; retired, never changed."""

from dataclasses import replace
from functools import lru_cache

from django.db import transaction
from django.db.models import Exists, OuterRef, QuerySet
from django.utils import timezone

from studio.document import canonical, digest, parse_json
from studio.lattice.design import LatticeKind
from studio.lattice.pattern import Pattern
from studio.lattice.patterns import patterns
from studio.lattice.shapes import family_of
from studio.people.models import User
from studio.problem import Refused
from studio.workshop.books import locked_studio
from studio.workshop.models import PatternRevision

__all__ = ["add", "in_use", "pattern_in", "refuse_taken", "retire", "usable"]


def usable(lattice: LatticeKind) -> tuple[Pattern, ...]:
    """The newest revision of each pattern that is not retired, for one lattice, by slug. One query. What a
    design uses of them it embeds, so retiring one changes no option."""
    found = in_use().filter(lattice=family_of(lattice)).order_by("slug")
    return tuple(pattern_in(row) for row in found)


def in_use() -> QuerySet[PatternRevision]:
    """The newest revision of each pattern, of those that are not retired."""
    standing = PatternRevision.objects.filter(retired_at=None)
    newer = standing.filter(slug=OuterRef("slug"), revision__gt=OuterRef("revision"))
    return standing.filter(~Exists(newer))


def pattern_in(row: PatternRevision) -> Pattern:
    return _read(row.document)


@transaction.atomic
def add(pattern: Pattern, by: User | None) -> PatternRevision:
    """The next revision of the pattern's slug. Raises Refused where the slug or the name belongs to another
    pattern, or when the pattern stands just so already."""
    locked_studio()
    refuse_taken(pattern)
    before = PatternRevision.objects.filter(slug=pattern.slug).order_by("-revision").first()
    added = replace(pattern, revision=before.revision + 1 if before else 1)
    return PatternRevision.objects.create(
        slug=added.slug,
        revision=added.revision,
        lattice=added.lattice,
        document=canonical(added).decode(),
        sha256=digest(added),
        by=by,
    )


def refuse_taken(pattern: Pattern) -> None:
    """Raises Refused where `add` would, of the patterns that are there now."""
    if any(pattern.slug == other.slug for other in patterns()):
        reason = f"“{pattern.slug}” is a pattern that comes with the program"
        raise Refused.because("slug", reason, "give yours a slug of its own")
    standing = [pattern_in(row) for row in in_use()]
    for other in (*patterns(), *standing):
        same_name = other.name.casefold().strip() == pattern.name.casefold().strip()
        if same_name and other.slug != pattern.slug and other.lattice == pattern.lattice:
            reason = f"“{other.slug}” is called {other.name} already"
            raise Refused.because("name", reason, "give yours a name of its own")
    first = PatternRevision.objects.filter(slug=pattern.slug).exclude(lattice=pattern.lattice).first()
    if first:
        reason = f"“{pattern.slug}” is a pattern of yours for a {first.lattice} lattice"
        raise Refused.because("slug", reason, "give this one a slug of its own")
    if any(replace(other, revision=pattern.revision) == pattern for other in standing):
        raise Refused.because("document", "this very pattern is there already", "change the file first")


@transaction.atomic
def retire(slug: str, by: User | None) -> bool:
    """Offer the pattern no more; False when none of that slug was offered. Designs that have it keep it. A
    new file of the same slug brings it back as a new revision."""
    standing = PatternRevision.objects.filter(slug=slug, retired_at=None)
    return bool(standing.update(retired_at=timezone.now(), retired_by=by))


@lru_cache(maxsize=256)
def _read(text: str) -> Pattern:
    """Revisions never change, so what was read once need not be read again."""
    return parse_json(Pattern, text)
