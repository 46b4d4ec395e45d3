"""Reading an issue back: the stored bytes, checked against their digests, never computed again.

What a client gets is made from `read` and `drawings_of` alone; the workshop's and the studio's own documents
have doors of their own, and are None for issues of schema 1, which have none.
"""

import json
import zlib
from dataclasses import dataclass
from functools import cached_property
from hashlib import sha256
from typing import Any

from studio.proposals.freeze import SCHEMA, seal_of, unpacked
from studio.proposals.models import ProposalIssue
from studio.proposals.shown import SheetShown, shown

__all__ = ["Damaged", "Stored", "costs_of", "drawings_of", "making_of", "making_under", "pdf_of", "read"]


class Damaged(Exception):
    """Stored bytes no longer have the digest that they were sealed with, or this program is too old for
    them."""


@dataclass(frozen=True)
class Stored:
    """An issue's documents as values; `parties` is empty once the person is erased."""

    figures: dict[str, Any]
    parties: dict[str, Any]

    @cached_property
    def sheet(self) -> SheetShown:
        number = self.parties.get("client", {}).get("tax_number", "")
        return shown(self.figures, self.parties.get("discount", ""), number)

    @property
    def letters(self) -> tuple[str, ...]:
        return tuple(option["letter"] for option in self.figures["options"])

    def gross_of(self, letter: str) -> str:
        return next(o["estimate"]["gross"] for o in self.figures["options"] if o["letter"] == letter)


def read(issue: ProposalIssue) -> Stored:
    """Raises Damaged when a document is not what was sealed."""
    figures = bytes(issue.figures)
    parties = bytes(issue.parties) if issue.parties else None
    _same(figures, issue.figures_sha256, issue)
    if parties:
        _same(parties, issue.parties_sha256, issue)
    if seal_of(issue.figures_sha256, issue.parties_sha256) != issue.seal:
        raise Damaged(f"the seal of {issue} does not fit its documents")
    if issue.schema > SCHEMA:
        raise Damaged(f"{issue} is of schema {issue.schema}, newer than {SCHEMA}, which this program knows")
    return Stored(json.loads(figures), json.loads(parties) if parties else {})


def drawings_of(issue: ProposalIssue, stored: Stored) -> dict[str, dict[str, str]]:
    """SVG texts by letter, then by view. Raises Damaged when they are not what was sealed."""
    return _packed(issue, "drawings", stored.figures["drawings_sha256"])


def making_of(issue: ProposalIssue, stored: Stored) -> dict[str, dict[str, Any]] | None:
    """What the workshop needs, by letter (estimate/making_report.py). Raises Damaged as `drawings_of`."""
    return None if issue.schema == 1 else making_under(issue, stored.figures["making_sha256"])


def costs_of(issue: ProposalIssue, stored: Stored) -> dict[str, dict[str, Any]] | None:
    """What the studio alone knows, by letter (estimate/costs_report.py). Raises Damaged as `drawings_of`."""
    return None if issue.schema == 1 else _packed(issue, "costs", stored.figures["costs_sha256"])["options"]


def making_under(issue: ProposalIssue, digest: str) -> dict[str, dict[str, Any]]:
    """The same, where the figures that hold its digest were read before."""
    return _packed(issue, "making", digest)


def _packed(issue: ProposalIssue, name: str, digest: str) -> dict[str, Any]:
    try:
        document = unpacked(bytes(getattr(issue, name) or b""))
    except zlib.error:
        raise Damaged(f"the stored {name} of {issue} cannot be unpacked") from None
    _same(document, digest, issue)
    return dict(json.loads(document))


def pdf_of(issue: ProposalIssue) -> bytes | None:
    """None once the person is erased. Raises Damaged when it is not what was issued."""
    if issue.pdf is None:
        return None
    pdf = bytes(issue.pdf)
    _same(pdf, issue.pdf_sha256, issue)
    return pdf


def _same(document: bytes, digest: str, issue: ProposalIssue) -> None:
    if sha256(document).hexdigest() != digest:
        raise Damaged(f"a stored document of {issue} has changed")
