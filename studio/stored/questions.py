"""The command line's question as JSON text: its parts say their schema as rows do, and those of older
schemas, or without a number, are carried forward."""

from typing import Any

from studio.document import dump, parse, parse_json
from studio.estimate.brief import Question
from studio.problem import Problem, Refused
from studio.stored.door import DocumentKind, Unreadable
from studio.stored.kinds import DESIGN, RATE_BOOK, SPACE, TERMS

__all__ = ["read_question", "written_question"]

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
    if problems:
        raise Refused(*problems)
    return parse(Question, question, decimal_commas=False)


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
