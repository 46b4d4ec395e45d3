"""What was sold, kept while a variation of it is open: documents of other kinds lie within as they were
stored, each with its own schema."""

from dataclasses import field
from datetime import date
from typing import Any

from studio.document import document

__all__ = ["Before", "OptionBefore"]

Stored = dict[str, Any]


@document
class OptionBefore:
    letter: str
    design: Stored
    rate_book_id: int
    currency: str
    net_minor: int | None
    gross_minor: int | None
    ready_on: date | None
    digest: str


@document
class Before:
    """`options` by the texts of their keys; `space` is None where it was not kept, `typed` how its lengths
    were."""

    terms: Stored
    options: dict[str, OptionBefore]
    space: Stored | None = None
    typed: dict[str, str] = field(default_factory=dict)
    measured_by: str = ""
    measured_on: date | None = None
