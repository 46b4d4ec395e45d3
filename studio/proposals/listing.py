"""What the studio sees of a commission's issues."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from django.db.models import Prefetch
from django.utils import timezone

from studio.commissions.models import Commission, Entry
from studio.commissions.price_first import price_text
from studio.letters.models import Letter as Outbox
from studio.letters.shown import ShownLetter, shown
from studio.proposals.booking import booked_state
from studio.proposals.coming import Coming, coming_of
from studio.proposals.days import DayShown, days_shown
from studio.proposals.deciding import said, standing_of
from studio.proposals.models import Decision, Letter, Link, ProposalIssue
from studio.proposals.shown import ShownOption, voice_in
from studio.proposals.standing import why_closed
from studio.proposals.stored import Stored, read
from studio.proposals.takes import BECOMES
from studio.proposals.telling import messages_about
from studio.voice import Voice

__all__ = ["Choice", "IssueRow", "choices_of", "issue_rows"]

WITH_OUTBOX = Letter.objects.select_related("outbox__settled_by").defer("outbox__body")


@dataclass(frozen=True)
class Choice:
    """An option that may go into an issue; `price` is empty where there is none."""

    letter: str
    price: str
    chosen: bool


@dataclass(frozen=True)
class IssueRow:
    """One issue with what was said to it; `open` tells whether it can still be decided."""

    issue: ProposalIssue
    stored: Stored
    link: Link | None
    decision: Decision | None
    said: str
    messages: Sequence[Entry]
    letters: tuple[ShownLetter, ...]
    open: bool
    why_closed: str
    has_pdf: bool
    days: Mapping[str, DayShown]
    booked: str
    """How what was sold with it is booked; empty where it is not, or nothing was."""
    coming: Coming | None
    """When it would be made, while nobody has answered it."""

    @property
    def options(self) -> list[tuple[ShownOption, DayShown]]:
        return [(option, self.days[option.letter]) for option in self.stored.sheet.options]

    @property
    def receiver(self) -> str:
        """Whom a letter would reach; empty when no address is known."""
        client = self.stored.parties.get("client", {})
        return client["name"] if client.get("email") and self.has_pdf else ""


def issue_rows(commission: Commission, today: date, said_on: date | None = None) -> list[IssueRow]:
    """The newest proposal and issue first; days of being ready as they were named on `said_on`, if that is
    over."""
    issues = (
        ProposalIssue.objects.filter(proposal__commission=commission)
        .select_related("proposal__commission", "decision__cancellation", "decision__release", "by")
        .prefetch_related(Prefetch("links__letters", WITH_OUTBOX))
        .order_by("-proposal__place", "-number")
        .defer("pdf", "drawings", "making", "costs")
    )
    now, told = timezone.now(), messages_about(commission)
    said_on = min(said_on or today, today)
    return [_row(issue, told.get(issue.public_id, ()), today, said_on, now) for issue in issues]


def _row(
    issue: ProposalIssue, messages: Sequence[Entry], today: date, said_on: date, now: datetime
) -> IssueRow:
    stored = read(issue)
    decision = getattr(issue, "decision", None)
    closed = why_closed(standing_of(issue, stored), today)
    return IssueRow(
        issue=issue,
        stored=stored,
        link=next((link for link in issue.links.all() if link.revoked_at is None), None),
        decision=decision,
        said=said(decision, voice_in(stored.figures)) if decision else "",
        messages=messages,
        letters=tuple(shown(_written(issue), now)),
        open=closed is None,
        why_closed=closed.reason if closed else "",
        has_pdf=issue.parties is not None,
        days=days_shown(issue, stored, None if closed else said_on),
        coming=coming_of(issue, today) if closed is None else None,
        booked=_booked(issue) if decision and decision.letter else "",
    )


def _booked(issue: ProposalIssue) -> str:
    state = booked_state(issue)
    return BECOMES[state] if state else ""


def _written(issue: ProposalIssue) -> Iterator[Outbox]:
    for link in list(issue.links.all())[::-1]:
        yield from (letter.outbox for letter in link.letters.all())


def choices_of(commission: Commission, voice: Voice, chosen: tuple[str, ...] | None = None) -> list[Choice]:
    """Every option, ticked where it has a price or was ticked before."""
    return [
        Choice(
            option.letter,
            price_text(option, voice),
            option.letter in chosen if chosen is not None else option.gross_minor is not None,
        )
        for option in commission.options.all()
    ]
