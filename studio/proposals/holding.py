"""A slot in the workshop that is held for a proposal until a day."""

from datetime import date

from django.db import transaction

from studio.commissions.locks import locked_commission
from studio.making.booked import Amounts, State
from studio.people.models import User
from studio.problem import Conflict, Refused
from studio.proposals.booking import source_of, words_of
from studio.proposals.deciding import standing_of
from studio.proposals.models import ProposalIssue
from studio.proposals.newest import newest_yes
from studio.proposals.standing import why_closed
from studio.proposals.stored import making_of, read
from studio.proposals.takes import most_demanding
from studio.voice import day, said
from studio.workshop.bookings import job_of, move
from studio.workshop.books import locked_studio

__all__ = ["hold"]


@transaction.atomic
def hold(issue: ProposalIssue, until: date | None, steps: int, by: User | None, today: date) -> None:
    """Keep the place that the most demanding option of an unanswered issue takes up to `until`, its last day,
    as if it was sold; None lets it go. `steps` are those that its job had where the day was typed.

    Raises Conflict where the issue is not open any more, or its job was changed meanwhile; Refused for a day
    that is over or on which the price holds no more, for a variation, whose place what is sold has already,
    and for issues of schema 1, which do not tell what they take."""
    locked_commission(issue.proposal.commission_id)
    locked_studio()  # whoever is dated at the same moment sees it, or comes first
    issues = ProposalIssue.objects.select_related("proposal__commission").defer("costs", "pdf")
    issue = issues.get(pk=issue.pk)
    job, state = job_of(source_of(issue)), _state(until)
    if job and (job.state, job.held_until) == (state, until):
        return
    _refuse_closed(issue, today)
    if steps != (job.steps if job else 0):
        raise Conflict.because("until", "the slot was changed meanwhile", "look at it, then choose again")
    if until:
        _refuse_day(issue, until, today)
    source, amounts = source_of(issue), None if job else _amounts(issue)
    move(source, f"{source}-step-{steps + 1}", state, amounts, words=words_of(issue), held_until=until, by=by)


def _state(until: date | None) -> State:
    return "held" if until else "offered"


def _amounts(issue: ProposalIssue) -> Amounts:
    """Of what was issued before offers were kept."""
    making = making_of(issue, read(issue))
    if making is None:
        reason = "this issue was made before it was kept what its options take"
        raise Refused.because("until", reason, "issue it anew, then hold a slot for that one")
    return most_demanding(making)[1]


def _refuse_closed(issue: ProposalIssue, today: date) -> None:
    if closed := why_closed(standing_of(issue, read(issue)), today):
        raise Conflict.because("until", closed.reason, "hold a slot for what can still be approved")
    sold = newest_yes(issue.proposal.commission)
    if sold and sold.proposal_id != issue.proposal_id:
        reason = "what is sold has a place already, and a variation takes that one over"
        raise Refused.because("until", reason, "leave it as it is")


def _refuse_day(issue: ProposalIssue, until: date, today: date) -> None:
    if not today <= until <= issue.valid_until:
        reason = said("the price holds from today to {}, and this is {}", day(issue.valid_until), day(until))
        raise Refused.because("until", reason, "a day on which the price still holds")
