"""What of a commission is sold, and what becomes of it: a variation, a cancellation, the release of the work.

Each takes the commission's lock first, so of two at once one finds what the other did. `seen` is the public
id of the sold issue on the page that asks; None asks for no such thing."""

from contextlib import suppress
from datetime import date, datetime
from decimal import Decimal

from django.db import IntegrityError, transaction
from django.db.models import Max
from django.utils import timezone

from studio.commissions.closed import is_varied
from studio.commissions.locks import locked_commission, locked_with_others
from studio.commissions.models import Commission
from studio.commissions.variation import keep_before, put_back
from studio.letters.settling import take_back
from studio.money import round_money, to_minor
from studio.people.models import User
from studio.problem import Conflict, Problem, Refused, refuse_all
from studio.proposals.appointments import end_visits
from studio.proposals.booking import end_bookings, end_offers, released_now
from studio.proposals.job_letters import about_jobs
from studio.proposals.models import Cancellation, Decision, Link, Proposal, ProposalIssue, Release
from studio.proposals.newest import newest_yes
from studio.proposals.refit import refuse_untaped
from studio.proposals.sending import take_back_letters
from studio.proposals.stored import read
from studio.proposals.telling import tell
from studio.stored.door import Unreadable
from studio.voice import said

__all__ = [
    "begin_variation", "cancel", "end_variation", "next_of_year", "release", "withdraw_open",
]  # fmt: skip

ATTEMPTS = 5
"""Two who ask for the next number at once get the same; the second asks again."""
LONGEST_NAME, LONGEST_REASON = 200, 2000
LATEST = date(2100, 12, 31)


def next_of_year(year: int) -> int:
    """The number that the next proposal of a year gets."""
    return (Proposal.objects.filter(year=year).aggregate(last=Max("sequence"))["last"] or 0) + 1


def begin_variation(
    commission: Commission, by: User | None, now: datetime, seen: str | None = None
) -> Proposal:
    """Open what is sold to change: its options as they are now are kept, and the next proposal is there to be
    issued. One that was begun before and never issued is taken up again. Raises Conflict where nothing is
    sold, or a variation is open already."""
    for attempt in range(ATTEMPTS):
        try:
            return _begin(commission.pk, by, now, seen)
        except IntegrityError:
            if attempt == ATTEMPTS - 1:
                raise
    raise AssertionError("unreachable")


@transaction.atomic
def _begin(commission_pk: int, by: User | None, now: datetime, seen: str | None) -> Proposal:
    commission = locked_commission(commission_pk)
    sold = _sold(commission, seen)
    if is_varied(commission):
        raise Conflict.because("variation", "a variation is open already", "go on with that one")
    keep_before(commission)
    commission.save(update_fields=["before_variation"])
    tell(sold.issue, "a variation of it was begun", by, now)
    last = commission.proposals.order_by("-place")[0]
    if last.place > sold.proposal.place and not last.issues.exists():
        return last
    year = timezone.localdate(now).year
    return Proposal.objects.create(
        commission=commission, place=last.place + 1, year=year, sequence=next_of_year(year), by=by
    )


@transaction.atomic
def end_variation(commission: Commission, by: User | None, now: datetime) -> None:
    """Leave it at what is sold: the variation's issue is withdrawn, the options are put back. Raises Conflict
    where none is open; Unreadable where what was sold cannot be put back."""
    commission, together = locked_with_others(commission.pk)
    if not is_varied(commission):
        raise Conflict.because("variation", "no variation is open", "look at what stands now")
    withdraw_open(commission, by, now)
    put_back(commission, together, by, now)
    commission.save(update_fields=["before_variation", "terms"])
    tell(_sold(commission, None).issue, "the variation of it was ended", by, now)


def withdraw_open(commission: Commission, by: User | None, now: datetime) -> None:
    """The issues of a locked commission that could still be decided."""
    undecided = ProposalIssue.objects.filter(
        proposal__commission=commission, state=ProposalIssue.State.ISSUED, decision=None
    )
    Link.objects.filter(issue__in=undecided, revoked_at=None).update(revoked_at=now)
    take_back_letters(undecided, now)
    end_offers(undecided.select_related("proposal__commission").only("public_id", "proposal"), by)
    ProposalIssue.objects.filter(pk__in=undecided.values("pk")).update(state=ProposalIssue.State.WITHDRAWN)


@transaction.atomic
def cancel(
    commission: Commission,
    who: str,
    why: str,
    owed: Decimal,
    by: User | None,
    now: datetime,
    seen: str | None = None,
) -> Cancellation:
    """Write down that what is sold is not made after all; `owed` is what the client pays for what was done,
    with tax. A variation ends with it. Raises Conflict where nothing is sold; Refused where it is not said
    who or why, or more would be owed than the price."""
    commission, together = locked_with_others(commission.pk)
    sold = _sold(commission, seen)
    refuse_all(_problems(who.strip(), why.strip(), owed, sold))
    withdraw_open(commission, by, now)
    if is_varied(commission):
        with suppress(Unreadable):  # what ends need not be mended
            put_back(commission, together, by, now)
        commission.before_variation = None
    made = Cancellation.objects.create(
        decision=sold,
        who=who.strip(),
        why=why.strip(),
        owed_minor=to_minor(owed, sold.currency),
        currency=sold.currency,
        at=now,
        by=by,
    )
    end_bookings(commission, by)
    end_visits(commission, by, now)
    take_back(
        about_jobs(ProposalIssue.objects.filter(proposal__commission=commission).only("public_id")), now
    )
    commission.stage = Commission.Stage.CANCELLED
    commission.save(update_fields=["before_variation", "terms", "stage"])
    tell(sold.issue, "cancelled", by, now)
    return made


def _problems(who: str, why: str, owed: Decimal, sold: Decision) -> list[Problem]:
    found = []
    for field, text, longest in (("who", who, LONGEST_NAME), ("why", why, LONGEST_REASON)):
        if not text:
            what = "who calls it off" if field == "who" else "why it is called off"
            found.append(Problem(field, f"nothing is said of {what}", "write it down"))
        if len(text) > longest:
            found.append(Problem(field, f"this text has {len(text)} characters", f"at most {longest}"))
    price = sold.gross or Decimal(0)
    if not (0 <= owed <= price and owed == round_money(owed, sold.currency)):  # some are too large to round
        told = "an amount from 0 to {}, the price with tax"
        remedy = said(told, lambda voice: voice.using(sold.currency).money(price))
        found.append(Problem("owed", f"found {owed}", remedy))
    return found


@transaction.atomic
def release(
    commission: Commission, final_on: date, by: User | None, now: datetime, seen: str | None = None
) -> Release:
    """Hand what is sold to the workshop, to be ready on `final_on`. Raises Conflict where nothing is sold, it
    is released already or being varied; Refused for a day that is over, and for a size that is not taped by
    us."""
    commission = locked_commission(commission.pk)
    sold = _sold(commission, seen)
    if getattr(sold, "release", None):
        raise Conflict.because("final_on", "the work is released already", "that day stays")
    if is_varied(commission):
        raise Conflict.because("final_on", "a variation is open", "end it, or wait for its answer")
    if not timezone.localdate(now) <= final_on <= LATEST:
        raise Refused.because("final_on", f"found {final_on.isoformat()}", "today or a later day")
    refuse_untaped(sold, read(sold.issue))
    made = Release.objects.create(decision=sold, final_on=final_on, by=by, at=now)
    released_now(sold.issue, by)
    commission.stage, commission.due_on = Commission.Stage.MAKING, final_on
    commission.save(update_fields=["stage", "due_on"])
    tell(sold.issue, "released to the workshop", by, now)
    return made


def _sold(commission: Commission, seen: str | None) -> Decision:
    """The newest yes of a locked commission, which nothing has ended."""
    sold = newest_yes(commission)
    if sold is None:
        raise Conflict.because("commission", "nothing is sold yet", "write down the client’s yes first")
    if commission.stage == Commission.Stage.CANCELLED:
        raise Conflict.because("commission", "this is cancelled already", "start a new commission")
    if commission.stage == Commission.Stage.HANDED_OVER:
        raise Conflict.because("commission", "this is handed over already", "start a new commission")
    if seen is not None and sold.issue.public_id != seen:
        raise Conflict.because("commission", "another option is sold by now", "look at it, then go on")
    return sold
