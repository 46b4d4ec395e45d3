"""The command line's question as JSON text: its parts say their schema as rows do, and those of older
schemas, or without a number, are carried forward."""

import re
from collections.abc import Iterable, Iterator
from typing import Any

from studio.document import dump, parse, parse_json
from studio.estimate.brief import Question
from studio.lattice.length import read_length
from studio.problem import Problem, Refused
from studio.stored.door import DocumentKind, Unreadable
from studio.stored.kinds import DESIGN, RATE_BOOK, SPACE, TERMS

__all__ = ["read_question", "written_question"]

DEEPEST = 12
"""No key of a question lies deeper."""
UNITED = re.compile(r"\d.*[^\d.,eE+-]|[^\d.,eE+-].*\d", re.DOTALL)
"""A figure with something beside it; what is none of a number is for the document to refuse."""

PARTS: tuple[tuple[tuple[str, ...], DocumentKind[Any]], ...] = (
    (("brief", "design"), DESIGN), (("brief", "space"), SPACE), (("brief", "terms"), TERMS),
    (("rate_book",), RATE_BOOK),
)  # fmt: skip


def read_question(text: str) -> Question:
    """Raises Refused with the keys of the documents."""
    question: dict[str, Any] = parse_json(dict[str, Any], text)
    problems: list[Problem] = []
    for (*folders, name), kind in PARTS:
        place: Any = question
        for folder in folders:
            place = place.get(folder)
        if isinstance(place, dict) and name in place:
            try:
                place[name] = kind.carried(place[name])
            except Refused as refused:
                problems += _placed(refused, kind, ".".join((*folders, name)))
    problems += _measured(question, "")
    if problems:
        raise Refused(*problems)
    return parse(Question, question, decimal_commas=False)


def _measured(place: Any, path: str) -> Iterator[Problem]:
    """Lengths that are written with a unit, wherever a key ends in millimetres, are put into them, to be read
    as the same figure without one; yields the problems of those that are none. A length that is about right
    says so by its side's origin."""
    pairs: Iterable[tuple[Any, Any]] = ()
    if path.count(".") < DEEPEST and isinstance(place, dict | list):
        pairs = place.items() if isinstance(place, dict) else enumerate(place)
    for key, part in list(pairs):
        here = f"{path}.{key}".lstrip(".")
        named = here.rstrip("0123456789.").endswith("_mm")
        if not (named and isinstance(part, str) and UNITED.search(part)):
            yield from _measured(part, here)
            continue
        try:
            length = read_length(part, here)
        except Refused as refused:
            yield from refused.problems
            continue
        place[key] = f"{length.mm:f}"
        if length.approximate:
            yield Problem(
                here, f"“{part}” is about right", "give the length, and where it comes from as its origin"
            )


def _placed(refused: Refused, kind: DocumentKind[Any], place: str) -> list[Problem]:
    """At the part's keys; only what the door itself refuses lies under the kind's name."""
    under = kind.name if isinstance(refused, Unreadable) else ""
    fields = [problem.field.removeprefix(under).lstrip(".") for problem in refused.problems]
    return [
        Problem(f"{place}.{field}".rstrip("."), problem.reason, problem.remedy)
        for field, problem in zip(fields, refused.problems, strict=True)
    ]


def written_question(question: Question) -> dict[str, Any]:
    """As JSON values with their schemas."""
    written: dict[str, Any] = dump(question)
    for (*folders, name), kind in PARTS:
        place = written
        for folder in folders:
            place = place[folder]
        place[name]["schema"] = kind.schema
    return written
