"""Booking what was sold: once for each yes, firm, in place of what was typed for it by hand."""

from django.db import transaction

from studio.commissions.locks import locked_commission
from studio.making.booked import Amounts, State
from studio.people.models import User
from studio.problem import Refused
from studio.proposals.models import Decision, ProposalIssue
from studio.proposals.standing import Conflict
from studio.proposals.stored import making_of, read
from studio.proposals.takes import Taken, frozen_amounts, told_amounts
from studio.workshop.bookings import move, state_of
from studio.workshop.by_hand import replace_typed

__all__ = ["amounts_of", "book", "booked_state", "yes_to"]


def yes_to(issue: ProposalIssue) -> Decision | None:
    return Decision.objects.filter(issue=issue, answer=Decision.Answer.APPROVED).first()


def booked_state(issue: ProposalIssue) -> State | None:
    """How the job that was sold with this issue is booked; None where it is not."""
    return state_of(_source(issue))


def _source(issue: ProposalIssue) -> str:
    return f"yes-{issue.public_id}"


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
    """Book what was sold as firm, with the amounts that a person confirmed. Raises Conflict when it is booked
    already, Refused when nothing is approved or a job that it is to replace is not booked any more."""
    locked_commission(issue.proposal.commission_id)
    decision = yes_to(issue)
    if decision is None:
        raise Refused.because("issue", "no option of this issue is approved", "book it once one is")
    if booked_state(issue):
        raise Conflict.because("issue", "it is booked already", "nothing is booked twice")
    words = f"Proposal {issue.proposal.number}, option {decision.letter}"
    source = _source(issue)
    move(source, f"{source}-approved", "firm", taken.amounts, words=words, by=by)
    grams = {name: n for (kind, name), n in taken.amounts.items() if kind == "grams"}
    replaced = [typed for typed, ticked in taken.replaces.items() if ticked]
    replace_typed(replaced, grams if taken.replaces_grams else {}, by)
