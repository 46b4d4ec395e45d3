"""The client's yes or no: judged by what stands, written once."""

from contextlib import suppress
from dataclasses import replace
from datetime import date, datetime
from decimal import Decimal
from typing import Any

from django.db import IntegrityError, transaction
from django.utils import timezone

from studio.commissions.closed import is_varied
from studio.commissions.locks import locked_with_others
from studio.commissions.models import Commission
from studio.commissions.variation import put_back
from studio.making.promised_day import PromisedDay
from studio.money import to_minor
from studio.people.models import User
from studio.problem import Conflict
from studio.proposals.booking import book_yes, end_offers
from studio.proposals.days import days_named, promises_of
from studio.proposals.models import Decision, Link, Proposal, ProposalIssue
from studio.proposals.shown import voice_in
from studio.proposals.standing import Reply, Standing, judge
from studio.proposals.stored import Stored, read
from studio.proposals.telling import tell
from studio.stored.door import Unreadable
from studio.voice import Voice
from studio.workshop.books import locked_studio

__all__ = ["decide", "said", "standing_of"]


def standing_of(issue: ProposalIssue, stored: Stored, link: Link | None = None) -> Standing:
    """`link` is the one through which it is read; None for the studio itself."""
    decision = getattr(issue, "decision", None)
    return Standing(
        seal=issue.seal,
        letters=stored.letters,
        issued_on=timezone.localdate(issue.issued_at),
        valid_until=issue.valid_until,
        state=issue.state,
        link_open=link is None or link.revoked_at is None,
        decided=said(decision, voice_in(stored.figures)) if decision else "",
        measured=not stored.sheet.unmeasured,
    )


def said(decision: Decision, voice: Voice) -> str:
    """The decision in a few words."""
    what = f"option {decision.letter} was approved" if decision.letter else "this proposal was declined"
    said = f"{what} on {voice.day(decision.said_on)} by {decision.who}, {decision.get_how_display()}"
    ended = getattr(decision, "cancellation", None)
    return f"{said}, and called off on {voice.day(timezone.localdate(ended.at))}" if ended else said


def decide(
    issue: ProposalIssue,
    answer: Reply,
    now: datetime,
    *,
    link: Link | None = None,
    by: User | None = None,
    evidence: dict[str, Any] | None = None,
) -> Decision:
    """Write the decision, move the commission's stage and book what is approved, together or not at all.

    Raises Conflict when the issue no longer stands, is decided, or another one was read; Refused for an
    incomplete answer.
    """
    try:
        return _write(issue.pk, answer, now, link, by, evidence or {})
    except IntegrityError:
        if not Decision.objects.filter(proposal=issue.proposal_id).exists():
            raise
        reason = "it was decided a moment ago"
        raise Conflict.because("answer", reason, "read this page again") from None


@transaction.atomic
def _write(
    issue_pk: int, answer: Reply, now: datetime, link: Link | None, by: User | None, evidence: dict[str, Any]
) -> Decision:
    commission, together = locked_with_others(Proposal.objects.get(issues=issue_pk).commission_id)
    # after the lock: a new issue, a revoked link or another answer may have come in between
    issues = ProposalIssue.objects.select_related("proposal__commission").defer("making", "costs")
    issue = issues.get(pk=issue_pk)
    fresh = Link.objects.get(pk=link.pk) if link else None
    stored = read(issue)
    today = timezone.localdate(now)
    named = _named(issue, stored, answer, today)
    ready = {letter: day.ready_on for letter, day in named.items()}
    judge(replace(standing_of(issue, stored, fresh), ready=ready), answer, today)
    decision = _decision(issue, stored, answer, named)
    decision.at, decision.by = now, by
    decision.person = {
        "who": answer.who.strip() or "somebody unnamed",
        "authority": answer.authority.strip(),
        "reason": answer.reason.strip(),
        "evidence": evidence,
    }
    decision.save(force_insert=True)
    _move(commission, together, decision)
    if decision.letter:
        book_yes(decision, stored, by)
    else:
        end_offers([issue], by)
    tell(issue, f"option {decision.letter} approved" if decision.letter else "declined", by, now)
    return decision


def _named(issue: ProposalIssue, stored: Stored, answer: Reply, today: date) -> dict[str, PromisedDay]:
    """As named on the day of saying it: what was agreed then may be written down later. What depends on the
    calendar is asked for under its lock, so that of two who agree at once each has a place of its own."""
    said_on = min(answer.said_on, today)
    if answer.answer == Decision.Answer.APPROVED:  # also one that keeps its day takes a place
        locked_studio()
    named = days_named(issue, stored, said_on)
    return {letter: day for letter, day in named.items() if isinstance(day, PromisedDay)}


def _move(commission: Commission, together: tuple[Commission, ...], decision: Decision) -> None:
    """A yes to a variation is the new state; a no leaves what was sold before. Where that cannot be read, the
    variation stays open, and whoever ends it is told why."""
    if decision.letter:
        commission.stage, commission.approved_letter = Commission.Stage.APPROVED, decision.letter
        commission.due_on = decision.agreed_on
        commission.before_variation = None
    elif is_varied(commission):
        with suppress(Unreadable):
            put_back(commission, together, decision.by, decision.at)
    else:
        commission.stage = Commission.Stage.DECLINED
    commission.save(update_fields=["stage", "approved_letter", "due_on", "before_variation", "terms"])


def _decision(issue: ProposalIssue, stored: Stored, answer: Reply, named: dict[str, PromisedDay]) -> Decision:
    decision = Decision(
        issue=issue,
        proposal_id=issue.proposal_id,
        answer=answer.answer,
        how=answer.how,
        seal=issue.seal,
        said_on=answer.said_on,
    )
    if answer.answer == Decision.Answer.APPROVED:
        decision.letter, decision.currency = answer.letter, stored.figures["currency"]
        decision.agreed_on = answer.ready_on
        day = named.get(answer.letter) or promises_of(stored.figures)[answer.letter]
        decision.agreed_days = day.working_days
        decision.gross_minor = to_minor(Decimal(stored.gross_of(answer.letter)), decision.currency)
    return decision
