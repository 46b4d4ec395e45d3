"""What issues take of the workshop: offered while nobody has answered, firm with a yes and in its
transaction, free again with whatever ends them. Sources are opaque to the workshop."""

import json
import logging
from collections.abc import Iterable, Mapping
from typing import Any

from django.db import transaction
from django.db.models import QuerySet
from django.utils import timezone

from studio.commissions.estimating import jobs_of
from studio.commissions.locks import locked_commission
from studio.commissions.models import Commission
from studio.making.booked import Amounts, Kind, State, takes
from studio.people.models import User
from studio.problem import Conflict, Refused
from studio.proposals.freeze import Frozen, unpacked
from studio.proposals.models import Decision, ProposalIssue
from studio.proposals.refit import making_of_refit
from studio.proposals.stored import Damaged, Stored, making_of, read
from studio.proposals.takes import Taken, frozen_amounts, most_demanding, told_amounts
from studio.workshop.bookings import BookedJob, forget_words, job_of, move, open_jobs, state_of
from studio.workshop.by_hand import replace_typed

__all__ = [
    "VAN", "amounts_of", "book", "book_refit", "book_yes", "booked_job", "booked_state", "end_bookings",
    "end_offers", "forget_jobs", "most_offered", "offer", "rebook", "released_now", "source_of",
    "without_van", "words_of", "yes_to",
]  # fmt: skip

OFFERED: tuple[State, ...] = ("offered", "held")
"""Nobody has said yes to it."""
LONGEST_TITLE = 150
VAN: tuple[Kind, str] = ("van days", "")
"""Days on which nobody has agreed yet."""


def yes_to(issue: ProposalIssue) -> Decision | None:
    return Decision.objects.filter(issue=issue, answer=Decision.Answer.APPROVED).first()


def booked_state(issue: ProposalIssue) -> State | None:
    """How the job that was sold with this issue is booked; None where it is not."""
    state = state_of(source_of(issue))
    return None if state in OFFERED else state


def booked_job(issue: ProposalIssue) -> BookedJob | None:
    job = job_of(source_of(issue))
    return None if job and job.state in OFFERED else job


def source_of(issue: ProposalIssue) -> str:
    return f"{jobs_of(issue.proposal.commission)}{issue.public_id}"


def words_of(issue: ProposalIssue) -> str:
    """What the workshop calls the job. Personal as the title is: it goes when the client is erased."""
    return f"{issue.proposal.commission.title[:LONGEST_TITLE]}, proposal {issue.proposal.number}"


def most_offered(frozen: Frozen) -> Amounts:
    """What the most demanding option of an issue takes."""
    return most_demanding(json.loads(unpacked(frozen.making)))[1]


def offer(issue: ProposalIssue, amounts: Amounts, before: ProposalIssue | None, by: User | None) -> None:
    """An issue is made: it might come. It takes the place of what stood `before`, whose hold it keeps."""
    source = source_of(issue)
    move(source, f"{source}-offered", "offered", amounts, words=words_of(issue), by=by)
    held = job_of(source_of(before)) if before else None
    if before:
        end_offers([before], by)
    if held and held.held_until and takes(held.state, held.held_until, timezone.localdate(issue.issued_at)):
        until = min(held.held_until, issue.valid_until)
        move(source, f"{source}-step-2", "held", held_until=until, by=by)


def end_offers(issues: Iterable[ProposalIssue], by: User | None) -> None:
    """Nobody can say yes to these any more. One whose time is over stays: a yes that was said in time may be
    written down later."""
    for issue in issues:
        if state_of(source_of(issue)) in OFFERED:
            _end(issue, by)


def book_yes(decision: Decision, stored: Stored, by: User | None) -> None:
    """Book what a locked commission's new yes is to, in the place of what an earlier one took. A yes is never
    refused here: what tells too little to book by (issues of schema 1) waits for a person."""
    issue = decision.issue
    try:
        making = making_of(issue, stored)
    except Damaged:
        logging.getLogger("studio.proposals").error("what %s takes cannot be read: book it by hand", issue)
        return
    if making is not None and booked_state(issue) is None:
        _book(decision, frozen_amounts(making[decision.letter]), by)


def _book(decision: Decision, amounts: Amounts, by: User | None) -> None:
    commission = decision.issue.proposal.commission
    for earlier in _yeses(commission):
        if earlier.pk != decision.pk:
            _end_sold(earlier.issue, by)
    source, takes = source_of(decision.issue), _beside_visits(commission, amounts)
    move(source, f"{source}-approved", "firm", takes, words=words_of(decision.issue), by=by)


def _beside_visits(commission: Commission, amounts: Amounts) -> Amounts:
    """What a job takes besides the days of the van that its appointments hold already."""
    own = [job for job in open_jobs(by_hand=False) if job.source.startswith(jobs_of(commission))]
    agreed = (n for job in own for key, n in job.amounts.items() if key[0] == "van days" and key != VAN)
    left = max(0, amounts.get(VAN, 0) - sum(agreed))
    return {**without_van(amounts), **({VAN: left} if left else {})}


def end_bookings(commission: Commission, by: User | None) -> None:
    """What was sold, with any yes, is not made: what it took is free again."""
    for decision in _yeses(commission):
        _end_sold(decision.issue, by)


def _end_sold(issue: ProposalIssue, by: User | None) -> None:
    if booked_state(issue) in ("firm", "released"):
        _end(issue, by)


def _end(issue: ProposalIssue, by: User | None) -> None:
    source = source_of(issue)
    move(source, f"{source}-ended", "cancelled", by=by)


def forget_jobs(issues: QuerySet[ProposalIssue]) -> None:
    """Jobs of an erased client lose their words. What is sold is made all the same, so its amounts stay."""
    forget_words([source_of(issue) for issue in issues])


def released_now(issue: ProposalIssue, by: User | None) -> None:
    """The work is handed to the workshop, if it is booked."""
    if booked_state(issue) == "firm":
        move(source_of(issue), f"{source_of(issue)}-released", "released", by=by)


def book_refit(issue: ProposalIssue, making: Mapping[str, Any], by: User | None) -> None:
    """Another panel is made than was agreed: what is booked takes what this one does."""
    if booked_state(issue) == "firm":
        taken = _beside_visits(issue.proposal.commission, frozen_amounts(making))
        move(source_of(issue), f"{source_of(issue)}-taped", "firm", taken, by=by)


def without_van(amounts: Amounts) -> Amounts:
    return {key: hundredths for key, hundredths in amounts.items() if key != VAN}


def _yeses(commission: Commission) -> QuerySet[Decision]:
    found = Decision.objects.filter(proposal__commission=commission, answer=Decision.Answer.APPROVED)
    return found.select_related("issue__proposal__commission").defer("issue__making", "issue__costs")


def amounts_of(decision: Decision) -> Amounts:
    """What the approved option takes, from what was frozen; figures of schema 1 tell less, and a person must
    confirm what is made of them. Raises Damaged."""
    if (taping := getattr(decision, "taping", None)) and taping.making:
        return frozen_amounts(making_of_refit(taping))
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
    decision = _sold(issue, locked_commission(issue.proposal.commission_id))
    _book(decision, taken.amounts, by)
    if hasattr(decision, "release"):
        released_now(issue, by)
    _replace(taken, by)


@transaction.atomic
def rebook(issue: ProposalIssue, taken: Taken, by: User | None) -> None:
    """What is booked takes something else from now on, or is made, or not made after all; or what was typed
    for it ends. Raises Conflict where its booking was changed since it was read, Refused for a state that
    does not follow, and where a job that it is to replace is not booked any more."""
    locked_commission(issue.proposal.commission_id)
    job = booked_job(issue)
    if job is None or job.steps != taken.steps:
        reason = "the booking was changed meanwhile"
        raise Conflict.because("state", reason, "open this page again, then change it")
    move(job.source, f"{job.source}-step-{job.steps + 1}", taken.state, taken.amounts, by=by)
    _replace(taken, by)


def _replace(taken: Taken, by: User | None) -> None:
    grams = {name: n for (kind, name), n in taken.amounts.items() if kind == "grams"}
    replaced = [typed for typed, ticked in taken.replaces.items() if ticked]
    replace_typed(replaced, grams if taken.replaces_grams else {}, by)


def _sold(issue: ProposalIssue, commission: Commission) -> Decision:
    """The yes to this issue, which must be what is sold and not booked yet."""
    decision = yes_to(issue)
    if decision is None:
        raise Refused.because("issue", "no option of this issue is approved", "book it once one is")
    replaced = any(other.issue.proposal.place > issue.proposal.place for other in _yeses(commission))
    if replaced or hasattr(decision, "cancellation"):
        reason = "it was cancelled, or a variation has taken its place"
        raise Refused.because("issue", reason, "look at what is sold now")
    if commission.stage == Commission.Stage.HANDED_OVER:
        raise Refused.because("issue", "this is handed over already", "what is made takes nothing any more")
    if booked_state(issue):
        raise Conflict.because("issue", "it is booked already", "open this page again, then change it")
    return decision
