"""Booking what was sold: once for each yes, firm, in place of what was typed for it by hand; and what becomes
of it then."""

from django.db import transaction
from django.db.models import QuerySet

from studio.commissions.estimating import jobs_of
from studio.commissions.locks import locked_commission
from studio.commissions.models import Commission
from studio.making.booked import Amounts, State
from studio.people.models import User
from studio.problem import Refused
from studio.proposals.models import Decision, ProposalIssue
from studio.proposals.standing import Conflict
from studio.proposals.stored import making_of, read
from studio.proposals.takes import Taken, frozen_amounts, told_amounts
from studio.workshop.bookings import BookedJob, job_of, move, state_of
from studio.workshop.by_hand import replace_typed

__all__ = [
    "amounts_of", "book", "booked_job", "booked_state", "end_bookings", "rebook", "released_now", "yes_to",
]  # fmt: skip


def yes_to(issue: ProposalIssue) -> Decision | None:
    return Decision.objects.filter(issue=issue, answer=Decision.Answer.APPROVED).first()


def booked_state(issue: ProposalIssue) -> State | None:
    """How the job that was sold with this issue is booked; None where it is not."""
    return state_of(_source(issue))


def booked_job(issue: ProposalIssue) -> BookedJob | None:
    return job_of(_source(issue))


def end_bookings(commission: Commission, by: User | None) -> None:
    """What was sold, with any yes, is not made: what it took is free again."""
    for decision in _yeses(commission):
        _end(decision.issue, by)


def _end(issue: ProposalIssue, by: User | None) -> None:
    if booked_state(issue) in ("firm", "released"):
        move(_source(issue), f"{_source(issue)}-ended", "cancelled", by=by)


def released_now(issue: ProposalIssue, by: User | None) -> None:
    """The work is handed to the workshop, if it is booked."""
    if booked_state(issue) == "firm":
        move(_source(issue), f"{_source(issue)}-released", "released", by=by)


def _yeses(commission: Commission) -> QuerySet[Decision]:
    found = Decision.objects.filter(proposal__commission=commission, answer=Decision.Answer.APPROVED)
    return found.select_related("issue__proposal__commission").defer("issue__making", "issue__costs")


def _source(issue: ProposalIssue) -> str:
    return f"{jobs_of(issue.proposal.commission)}{issue.public_id}"


def amounts_of(decision: Decision) -> Amounts:
    """What the approved option takes, from what was frozen; figures of schema 1 tell less, and a person must
    confirm what is made of them. Raises Damaged."""
    issue, stored = decision.issue, read(decision.issue)
    making = making_of(issue, stored)
    if making is not None:
        return frozen_amounts(making[decision.letter])
    return told_amounts(next(o for o in stored.figures["options"] if o["letter"] == decision.letter))


@transaction.atomic
def book(issue: ProposalIssue, taken: Taken, by: User | None) -> None:
    """Book what was sold as firm, with the amounts that a person confirmed; what an earlier yes of the
    commission took is free again. Raises Conflict when it is booked already; Refused when nothing is
    approved, this is not sold any more, or a job that it is to replace is not booked any more."""
    commission = locked_commission(issue.proposal.commission_id)
    decision, others = _sold(issue, commission)
    for other in others:
        _end(other, by)
    words = f"Proposal {issue.proposal.number}, option {decision.letter}"
    source = _source(issue)
    move(source, f"{source}-approved", "firm", taken.amounts, words=words, by=by)
    if hasattr(decision, "release"):
        released_now(issue, by)
    grams = {name: n for (kind, name), n in taken.amounts.items() if kind == "grams"}
    replaced = [typed for typed, ticked in taken.replaces.items() if ticked]
    replace_typed(replaced, grams if taken.replaces_grams else {}, by)


@transaction.atomic
def rebook(issue: ProposalIssue, taken: Taken, by: User | None) -> None:
    """What is booked takes something else from now on, or is made, or not made after all. Raises Conflict
    where its booking was changed since it was read, Refused for a state that does not follow."""
    locked_commission(issue.proposal.commission_id)
    job = booked_job(issue)
    if job is None or job.steps != taken.steps:
        reason = "the booking was changed meanwhile"
        raise Conflict.because("state", reason, "open this page again, then change it")
    move(job.source, f"{job.source}-step-{job.steps + 1}", taken.state, taken.amounts, by=by)


def _sold(issue: ProposalIssue, commission: Commission) -> tuple[Decision, list[ProposalIssue]]:
    """The yes to this issue, which must be what is sold and not booked yet; and issues of earlier ones."""
    decision = yes_to(issue)
    if decision is None:
        raise Refused.because("issue", "no option of this issue is approved", "book it once one is")
    others = [each.issue for each in _yeses(commission) if each != decision]
    replaced = any(other.proposal.place > issue.proposal.place for other in others)
    if replaced or hasattr(decision, "cancellation"):
        reason = "it was cancelled, or a variation has taken its place"
        raise Refused.because("issue", reason, "look at what is sold now")
    if commission.stage == Commission.Stage.HANDED_OVER:
        raise Refused.because("issue", "this is handed over already", "what is made takes nothing any more")
    if booked_state(issue):
        raise Conflict.because("issue", "it is booked already", "open this page again, then change it")
    return decision, others
