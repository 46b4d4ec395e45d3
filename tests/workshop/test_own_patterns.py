"""The studio's own patterns: rows that stay, revisions that follow one another, retiring."""

from dataclasses import replace

import pytest
from django.db import IntegrityError, connection, transaction

from studio.document import canonical
from studio.lattice.pattern import Line, Pattern
from studio.people.models import User
from studio.problem import Refused
from studio.stored.kinds import PATTERN
from studio.workshop.models import PatternRevision
from studio.workshop.own_patterns import add, pattern_in, retire, usable

FORK = Pattern(
    slug="fork",
    name="Fork",
    shows="A bar across and one up.",
    lattice="square",
    whole=(Line(points=((-0.5, 0), (0.5, 0))), Line(points=((0, 0), (0, 0.5)))),
)
LEANING = replace(
    FORK, lattice="three-way", half=(Line(points=((-0.433, 0), (0, 0.25))), Line(points=((0, 0), (0, 0.25))))
)


def add_to(by: User, pattern: Pattern, **changed: object) -> PatternRevision:
    return add(canonical(replace(pattern, **changed)).decode(), by)  # type: ignore[arg-type]


def test_a_new_pattern_can_be_used_in_its_own_lattice(owner: User) -> None:
    row = add_to(owner, FORK)
    assert (row.slug, row.revision, row.lattice, row.by) == ("fork", 1, "square", owner)
    assert usable("square") == (replace(FORK, revision=1),)
    assert usable("three-way") == ()


def test_a_turned_lattice_uses_the_three_way_patterns(owner: User) -> None:
    add_to(owner, LEANING)
    assert usable("three-way turned") == usable("three-way") != ()


def test_the_row_is_the_pattern_as_bytes(owner: User) -> None:
    row = add_to(owner, FORK)
    stored = replace(FORK, revision=1)
    assert (row.document, row.sha256) == PATTERN.write_text(stored)
    assert pattern_in(row) == stored


def test_the_same_slug_makes_the_next_revision(owner: User) -> None:
    add_to(owner, FORK)
    add_to(owner, FORK, strip_factor=2.0, revision=77)
    assert [(p.revision, p.strip_factor) for p in usable("square")] == [(2, 2.0)]
    assert PatternRevision.objects.count() == 2


def test_a_retired_pattern_is_offered_no_more_in_any_revision(owner: User, maker: User) -> None:
    add_to(owner, FORK)
    add_to(owner, FORK, strip_factor=2.0)
    assert retire("fork", maker)
    assert usable("square") == ()
    assert {row.retired_by for row in PatternRevision.objects.all()} == {maker}
    assert not retire("fork", maker)
    assert not retire("never-there", maker)


def test_a_new_file_brings_a_retired_pattern_back_as_a_new_revision(owner: User) -> None:
    add_to(owner, FORK)
    retire("fork", owner)
    add_to(owner, FORK)
    assert [p.revision for p in usable("square")] == [2]


def test_patterns_are_listed_by_slug_in_one_query(owner: User, django_assert_num_queries) -> None:
    for slug in ("prong", "bar", "fork"):
        add_to(owner, FORK, slug=slug, name=slug)
    with django_assert_num_queries(1):
        assert [p.slug for p in usable("square")] == ["bar", "fork", "prong"]


@pytest.mark.parametrize(
    ("changed", "field", "reason"),
    [
        ({"slug": "hemp-leaf"}, "slug", "comes with the program"),
        ({"name": "CROSS"}, "name", "called Cross already"),
        ({"slug": "prong", "name": "FORK"}, "name", "called Fork already"),
        ({"lattice": "three-way", "half": LEANING.half}, "slug", "for a square lattice"),
        ({}, "document", "there already"),
        ({"revision": 9}, "document", "there already"),
        ({"whole": ()}, "whole", "no strokes"),
        ({"strip_factor": 0.2}, "whole", "two beads"),
    ],
)
def test_what_belongs_to_another_pattern_is_refused(
    owner: User, changed: dict[str, object], field: str, reason: str
) -> None:
    add_to(owner, FORK)
    with pytest.raises(Refused) as refused:
        add_to(owner, FORK, **changed)
    assert [problem.field for problem in refused.value.problems] == [field]
    assert reason in refused.value.problems[0].reason
    assert PatternRevision.objects.count() == 1


@pytest.mark.parametrize(
    "column", ["slug", "lattice", "document", "sha256", "revision", "recorded_at", "by_id", "id"]
)
def test_the_database_keeps_a_revision_as_it_was(owner: User, maker: User, column: str) -> None:
    row = add_to(owner, FORK)
    changed = {"revision": 9, "by_id": maker.pk, "id": row.pk + 1, "recorded_at": "2020-01-01T00:00Z"}
    with pytest.raises(IntegrityError, match="workshop_patternrevision keeps"), transaction.atomic():
        PatternRevision.objects.update(**{column: changed.get(column, "another")})


def test_the_database_keeps_its_rows(owner: User) -> None:
    row = add_to(owner, FORK)
    with pytest.raises(IntegrityError), transaction.atomic():
        PatternRevision.objects.all()._raw_delete("default")
    values = f"{row.pk}, 'fork', 1, 'square', 'x', 'x', CURRENT_TIMESTAMP"
    insert = "INSERT OR REPLACE INTO" if connection.vendor == "sqlite" else "INSERT INTO"
    columns = "id, slug, revision, lattice, document, sha256, recorded_at"
    with pytest.raises(IntegrityError), transaction.atomic(), connection.cursor() as cursor:
        cursor.execute(f"{insert} workshop_patternrevision ({columns}) VALUES ({values})")
    assert usable("square")[0].name == "Fork"


@pytest.mark.parametrize("changed", [{"retired_at": None}, {"retired_at": "2020-01-01T00:00Z"}])
def test_the_database_lets_a_revision_be_retired_once(
    owner: User, maker: User, changed: dict[str, object]
) -> None:
    add_to(owner, FORK)
    retire("fork", owner)
    for refused in (changed, {"retired_by": maker}, {"retired_by": None}):
        with pytest.raises(IntegrityError, match="is retired once"), transaction.atomic():
            PatternRevision.objects.update(**refused)
