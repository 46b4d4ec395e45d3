"""The two things on which a promise hangs, each with its day: the deposit has cleared, the colours are
approved; and the final day that follows from both."""

from dataclasses import dataclass
from datetime import date, datetime
from typing import Annotated

from django.db import transaction
from django.db.models import Q
from django.utils import timezone
from pydantic import Field

from studio.commissions.locks import locked_commission
from studio.document import document
from studio.jobs.agreed import agreed_of
from studio.jobs.models import ColoursApproved, Payment
from studio.making.promised_day import final_day
from studio.people.models import User
from studio.problem import Conflict, Problem, Refused, refuse_all
from studio.proposals.days import promises_of
from studio.proposals.models import Decision
from studio.proposals.newest import still_sold
from studio.proposals.stored import read
from studio.proposals.telling import tell
from studio.voice import Voice
from studio.workshop.shop import readable_calendar

__all__ = ["Approval", "Facts", "approve_colours", "facts_of", "final_told", "take_back_colours"]


@document
class Approval:
    """What is typed of an approval of the colours; `sold` is the public id of the issue that was shown."""

    sold: Annotated[str, Field(max_length=12)]
    approved_on: date
    who: Annotated[str, Field(min_length=1, max_length=200)]
    how: ColoursApproved.How


@dataclass(frozen=True)
class Facts:
    """`cleared_on` is the day on which the first stage was covered, `open_minor` what is missing of it;
    `agreed_on` what was agreed, `final_on` what follows from both days, by the calendar as it is. None where
    it is not so yet, or no day was agreed that could be counted."""

    agreed_on: date | None
    agreed_days: int | None
    cleared_on: date | None
    open_minor: int
    colours: ColoursApproved | None
    final_on: date | None

    @property
    def seen(self) -> str:
        """What a release is decided on."""
        return f"{self.cleared_on} {self.colours and self.colours.approved_on} {self.final_on}"

    @property
    def missing(self) -> str:
        """Which of the two has not happened, in words; empty where both have."""
        deposit = () if self.cleared_on else ("the deposit has not cleared",)
        colours = () if self.colours else ("the colours are not approved",)
        return " and ".join((*deposit, *colours))


def facts_of(yes: Decision) -> Facts:
    """The days are counted from the yes at the earliest, whatever came before it. Raises stored.Damaged."""
    cleared_on, open_minor = _cleared(yes)
    colours = ColoursApproved.objects.filter(decision=yes, takes_back=None, taken_back_by=None).first()
    days, final_on = _agreed_days(yes), None
    if cleared_on and colours and days is not None:
        final_on = _final(days, max(cleared_on, yes.said_on), colours.approved_on)
    return Facts(yes.agreed_on, days, cleared_on, open_minor, colours, final_on)


def _cleared(yes: Decision) -> tuple[date | None, int]:
    """On which day the money reached what the first stage asks for, what came before a variation included;
    a payment that was taken back, because it was wrong or bounced, never came."""
    due = agreed_of(yes).stages[0].gross_minor
    came = Q(decision=yes, stage=1) | Q(decision__lt=yes.pk)
    rows = Payment.objects.filter(
        came,
        decision__proposal__commission=yes.proposal.commission_id,
        currency=yes.currency,
        counters=None,
        countered_by=None,
    )
    for amount, received_on in rows.order_by("received_on", "pk").values_list("amount_minor", "received_on"):
        due -= amount
        if due <= 0:
            return received_on, 0
    return None, due


def _agreed_days(yes: Decision) -> int | None:
    """None where no day could be named when it was agreed. A yes from before they were written down agreed
    to those that were issued."""
    if yes.agreed_days is not None:
        return yes.agreed_days if yes.agreed_on else None
    return promises_of(read(yes.issue).figures)[yes.letter].working_days


def _final(days: int, cleared_on: date, approved_on: date) -> date | None:
    try:
        return final_day(days, cleared_on, approved_on, readable_calendar()[0])
    except Refused:  # a calendar that leads nowhere says so on its own page
        return None


def final_told(yes: Decision, voice: Voice) -> str:
    """What the studio is told once both are there; empty before, and once the work is released or called
    off."""
    facts = facts_of(yes)
    if facts.final_on is None or hasattr(yes, "release") or hasattr(yes, "cancellation"):
        return ""
    told = f"Deposit and colours are there: the final day that follows is {voice.day(facts.final_on)}"
    if facts.agreed_on and facts.agreed_on != facts.final_on:
        return f"{told}, where {voice.day(facts.agreed_on)} was agreed. Release the work to settle it."
    return f"{told}, as agreed."


@transaction.atomic
def approve_colours(yes: Decision, given: Approval, by: User | None, now: datetime) -> ColoursApproved:
    """Raises Conflict where they are approved already, or another option is sold by now; Refused for a day
    that cannot be."""
    yes = still_sold(yes, locked_commission(yes.proposal.commission_id), "approved_on")
    if given.sold != yes.issue.public_id:
        raise Conflict.because("approved_on", "another option is sold by now", "look at it, then go on")
    known = facts_of(yes).colours
    if known:
        reason = "the colours are approved already"
        raise Conflict.because("approved_on", reason, "take that back first, if it was not so")
    refuse_all(_problems(yes, given, timezone.localdate(now)))
    tell(yes.issue, "the colours were approved", by, now)
    told = {"approved_on": given.approved_on, "who": given.who.strip(), "how": given.how}
    return ColoursApproved.objects.create(decision=yes, at=now, by=by, **told)


def _problems(yes: Decision, given: Approval, today: date) -> list[Problem]:
    """Colours may have been agreed before the yes, on the samples of the issue."""
    issued_on = timezone.localdate(yes.issue.issued_at)
    if issued_on <= given.approved_on <= today:
        return []
    reason = "this day is not between the proposal and today"
    return [Problem("approved_on", reason, "give the day on which the client said so")]


@transaction.atomic
def take_back_colours(wrong: ColoursApproved, by: User | None, now: datetime) -> ColoursApproved:
    """The second time, the row that stands."""
    locked_commission(wrong.decision.proposal.commission_id)
    known = ColoursApproved.objects.filter(takes_back=wrong).first()
    if known:
        return known
    tell(wrong.decision.issue, "that the colours were approved is taken back", by, now)
    return ColoursApproved.objects.create(
        decision=wrong.decision, approved_on=wrong.approved_on, how=wrong.how, takes_back=wrong, at=now, by=by
    )
