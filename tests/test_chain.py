"""The order of entries: what holds, and everything that breaks it."""

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone

import pytest

from studio.chain import Line, breaks, following

NOON = datetime(2026, 7, 1, 12, 0, 0, 5678, tzinfo=UTC)
SAID = ("no blue", "by Easter", "Issue 1 was made", "a lamp “behind” 🙂")


def chain(name: str = "abc") -> list[Line]:
    lines, before = list[Line](), name
    for place, text in enumerate(SAID, start=1):
        said = Line(
            NOON + timedelta(hours=place), 7 if place % 2 else None, "note", "", text, f"salt {place}"
        )
        lines.append(following(place, before, said))
        before = lines[-1].chain_sha256
    return lines


def forgotten(line: Line) -> Line:
    return replace(line, text=None, salt=None)


def test_what_was_written_holds_also_when_it_is_forgotten() -> None:
    lines = chain()
    assert [line.sequence for line in lines] == [1, 2, 3, 4]
    assert breaks("abc", []) == breaks("abc", lines) == breaks("abc", map(forgotten, lines)) == []


def test_the_digests_are_those_that_stand_in_databases() -> None:
    """Worked out once by other means (printf and sha256sum): they must stay what they are for ever."""
    first = chain()[0]
    assert first.text_sha256 == "cbfe58c3a2719e9397f26bbce50ecbbabd4f2ecd30a0b85532d742d78328a932"
    assert first.chain_sha256 == "6d384068142609036bf8c75de8e5518e601f7a6464972d03b55a4e896f8d61ac"


def test_a_moment_is_the_same_in_every_time_zone_and_as_dumps_keep_it() -> None:
    """JSON of Django's has milliseconds."""
    line = chain()[0]
    assert breaks("abc", [replace(line, at=line.at.astimezone(timezone(timedelta(hours=5))))]) == []
    assert breaks("abc", [replace(line, at=line.at.replace(microsecond=5000))]) == []
    assert breaks("abc", [replace(line, at=line.at.replace(microsecond=6000))]) != []


TAMPERED: dict[str, Callable[[list[Line]], list[Line]]] = {
    "entry 2 has another text": lambda lines: [lines[0], replace(lines[1], text="by May"), *lines[2:]],
    "entry 1 has another text": lambda lines: [replace(lines[0], salt="another"), *lines[1:]],
    "entry 3 stands where 2 should": lambda lines: [lines[0], *lines[2:]],
    "entry 2 stands where 1 should": lambda lines: [lines[1], lines[0], *lines[2:]],
    "entry 1 stands where 5 should": lambda lines: [*lines, lines[0]],
    "entry 2 is not what was written there": lambda lines: [lines[0], replace(lines[1], by_id=8), *lines[2:]],
}


@pytest.mark.parametrize("told", TAMPERED)
def test_what_was_tampered_with_is_found(told: str) -> None:
    assert told in breaks("abc", TAMPERED[told](chain()))


@pytest.mark.parametrize(
    "change", [{"at": NOON}, {"by_id": None}, {"kind": "event"}, {"about": "x"}, {"text_sha256": "0" * 64}]
)
def test_every_part_of_a_line_counts_also_when_it_is_forgotten(change: dict[str, object]) -> None:
    lines = [forgotten(line) for line in chain()]
    lines[0] = replace(lines[0], **change)
    assert breaks("abc", lines) == ["entry 1 is not what was written there"]


def test_a_line_put_in_with_digests_of_its_own_breaks_what_follows() -> None:
    lines = chain()
    lines[1] = following(2, lines[0].chain_sha256, replace(lines[1], text="by May"))
    assert breaks("abc", lines) == ["entry 3 is not what was written there"]


def test_one_chain_is_not_taken_for_another() -> None:
    assert breaks("abd", chain()) == ["entry 1 is not what was written there"]


def test_what_was_forgotten_before_there_were_digests_has_its_place() -> None:
    lines = chain()[:1]
    lines.append(following(2, lines[0].chain_sha256, Line(NOON, None, "note", "", None, None)))
    assert (lines[1].text_sha256, breaks("abc", lines)) == ("", [])
