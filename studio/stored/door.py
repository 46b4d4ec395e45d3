"""The one door between documents and the rows that keep them.

A row keeps plain JSON values with the number of the schema under which they were written. Reading carries
older schemas forward, one step after the other, for rows that never change cannot be migrated. What cannot
be read is Unreadable, with its reason: never an error page, never a silent guess.
"""

import json
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from hashlib import sha256
from typing import Any, Generic, TypeVar

from studio.document import UNKNOWN_KEY, dump, parse, parse_json
from studio.problem import Problem, Refused

__all__ = ["DocumentKind", "Step", "Unreadable"]

T = TypeVar("T")
Step = Callable[[dict[str, Any]], dict[str, Any]]
"""From the values of one schema to those of the next; values may be as wrong as a row can hold them."""


class Unreadable(Refused):
    """A stored document that this program cannot read; `kind` is its name. Fields lie under the name."""

    def __init__(self, kind: str, *problems: Problem) -> None:
        self.kind = kind
        super().__init__(*(Problem(_under(kind, p.field), p.reason, _remedy(p)) for p in problems))


def _under(kind: str, field: str) -> str:
    return kind if field in ("", "document") else f"{kind}.{field}"


def _remedy(problem: Problem) -> str:
    """Nobody can take a key out of what is stored."""
    return "" if problem.reason == UNKNOWN_KEY else problem.remedy


@dataclass(frozen=True)
class DocumentKind(Generic[T]):
    """One kind of stored document: `holds` the dataclass that it is read as, `steps[n]` leads from schema
    n + 1 to n + 2. Rows from before documents had a number are of schema 1."""

    name: str
    holds: type[T]
    steps: tuple[Step, ...] = ()

    @property
    def schema(self) -> int:
        """The schema that this program writes."""
        return 1 + len(self.steps)

    def read(self, stored: object) -> T:
        """From JSON values. Raises Unreadable."""
        try:
            return parse(self.holds, self.carried(stored), decimal_commas=False)
        except Unreadable:
            raise
        except Refused as refused:
            raise Unreadable(self.name, *refused.problems) from None

    def read_text(self, text: str) -> T:
        """From JSON text. Raises Unreadable."""
        try:
            stored = parse_json(dict[str, Any], text)
        except Refused as refused:
            raise Unreadable(self.name, *refused.problems) from None
        return self.read(stored)

    def readable(self, stored: object) -> T | None:
        """None where it cannot be read: for a word in a list, where the row's own page says why."""
        with suppress(Unreadable):
            return self.read(stored)
        return None

    def same(self, one: object, other: object) -> bool:
        """Whether two rows say the same, under whatever schemas they were written. What cannot be read is the
        same only to the letter."""
        read = self.readable(one)
        return one == other or (read is not None and read == self.readable(other))

    def fault(self, stored: object) -> Unreadable | None:
        """Why it cannot be read; None where it can."""
        try:
            self.read(stored)
        except Unreadable as unreadable:
            return unreadable
        return None

    def write(self, value: T) -> dict[str, Any]:
        """As JSON values with their schema."""
        return {**dump(value), "schema": self.schema}

    def write_text(self, value: T) -> tuple[str, str]:
        """As canonical JSON text (UTF-8, sorted keys, no spaces), and its SHA-256."""
        text = json.dumps(self.write(value), sort_keys=True, separators=(",", ":"), ensure_ascii=False)
        return text, sha256(text.encode()).hexdigest()

    def carried(self, stored: object) -> object:
        """JSON values as those of the newest schema, without its number; not checked yet. Raises Refused."""
        if not isinstance(stored, dict):
            return stored
        values = dict(stored)
        schema = values.pop("schema", 1)
        if not isinstance(schema, int) or isinstance(schema, bool) or schema < 1:
            raise Unreadable(self.name, Problem("schema", f"found “{schema}”", "a whole number from 1"))
        if schema > self.schema:
            reason = f"it was stored by a newer program (schema {schema}; this one knows {self.schema})"
            raise Unreadable(self.name, Problem("", reason, "bring the program up to date"))
        for step in self.steps[schema - 1 :]:
            try:
                values = step(values)
            except Refused:
                raise  # a step that knows which key is wrong
            except (ArithmeticError, AttributeError, LookupError, TypeError, ValueError):
                reason = f"it is too damaged to be carried on from schema {schema}"
                raise Unreadable(self.name, Problem("", reason, "take it from a backup")) from None
        return values
