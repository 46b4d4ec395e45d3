"""The order of entries, kept by digests: each line's holds the one before it.

What was said can be forgotten, as a line is held by a salted digest of its text; that there was a line, when
and by whom, cannot be changed, taken out or moved without every later digest being another one. Whoever makes
all of them anew, or cuts off the newest, is not found by this alone: the guards in the database stand there.
"""

import json
from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from hashlib import sha256

__all__ = ["Line", "breaks", "following"]


@dataclass(frozen=True, slots=True)
class Line:
    """One entry. `by_id` is the number of who wrote it, None for nobody of the studio; `at` knows its zone of
    time. `text` and `salt` are None once they are forgotten. The salt, a random one for each line, keeps a
    forgotten text from being found by trying likely ones. Digests are SHA-256 in hexadecimal; a text's is
    empty where it was forgotten before there were digests."""

    at: datetime
    by_id: int | None
    kind: str
    about: str
    text: str | None
    salt: str | None
    sequence: int = 0
    text_sha256: str = ""
    chain_sha256: str = ""


def following(sequence: int, before: str, line: Line) -> Line:
    """The line with its place (from 1) and its digests; `before` is the chain's digest of the line before it,
    of the first one the name of the whole chain."""
    known = "" if line.text is None else _digest(line.salt, line.text)
    placed = replace(line, sequence=sequence, text_sha256=known)
    return replace(placed, chain_sha256=_chained(before, placed))


def breaks(name: str, lines: Iterable[Line]) -> list[str]:
    """What does not hold in the chain of that name, in words; nothing where all is as it was written. Lines
    come in their order."""
    found, before, expected = [], name, 1
    for line in lines:
        if line.sequence != expected:
            found.append(f"entry {line.sequence} stands where {expected} should")
        if line.chain_sha256 != _chained(before, line):
            found.append(f"entry {line.sequence} is not what was written there")
        if line.text is not None and line.text_sha256 != _digest(line.salt, line.text):
            found.append(f"entry {line.sequence} has another text")
        before, expected = line.chain_sha256, line.sequence + 1
    return found


def _chained(before: str, line: Line) -> str:
    at = line.at.astimezone(UTC).isoformat(timespec="milliseconds")  # as fine as rows survive being dumped
    return _digest(before, line.sequence, at, line.by_id, line.kind, line.about, line.text_sha256)


def _digest(*parts: str | int | None) -> str:
    return sha256(json.dumps(parts, separators=(",", ":")).encode("ascii")).hexdigest()
