"""Released work whose deposit went: the studio stops it or goes on. It stands still while its job is sold and
not in the workshop; its place there stays."""

from collections.abc import Iterator
from datetime import datetime

from django.db import transaction

from studio.commissions.locks import locked_commission
from studio.commissions.models import Commission
from studio.jobs.facts import facts_of
from studio.jobs.models import Payment
from studio.making.booked import State
from studio.people.models import User
from studio.problem import Conflict, Refused
from studio.proposals.booking import booked_job, booked_state
from studio.proposals.models import Decision
from studio.proposals.newest import newest_yes, still_sold
from studio.proposals.telling import tell
from studio.workshop.bookings import move

__all__ = ["lacking", "stands_still", "stop_or_go"]


def stands_still(yes: Decision) -> bool:
    return hasattr(yes, "release") and booked_state(yes.issue) == "firm"


def lacking() -> Iterator[tuple[Commission, bool]]:
    """Commissions in the workshop for which a payment was taken back, so that the deposit is not there; and
    whether they stand still. Two queries where there are none, some more for each."""
    gone = Payment.objects.exclude(countered_by=None).filter(
        decision__proposal__commission__stage=Commission.Stage.MAKING
    )
    keys = gone.order_by().values("decision__proposal__commission")
    for commission in Commission.objects.filter(pk__in=keys):
        yes = newest_yes(commission)
        if yes and hasattr(yes, "release") and facts_of(yes).cleared_on is None:
            yield commission, stands_still(yes)


@transaction.atomic
def stop_or_go(yes: Decision, stops: bool, by: User | None, now: datetime) -> None:
    """The second time nothing is written. Raises Conflict where another option is sold by now, or no work is
    under way; Refused where its job is not booked."""
    commission = locked_commission(yes.proposal.commission_id)
    yes = still_sold(yes, commission, "stops")
    if commission.stage != Commission.Stage.MAKING or not hasattr(yes, "release"):
        raise Conflict.because("stops", "no work is under way", "look at what stands now")
    job = booked_job(yes.issue)
    if job is None or job.state not in ("firm", "released"):
        raise Refused.because("stops", "it is not booked in the workshop", "book it there first")
    state: State = "firm" if stops else "released"
    if job.state != state:
        move(job.source, f"{job.source}-step-{job.steps + 1}", state, by=by)
        tell(yes.issue, "the work stands still" if stops else "the work goes on", by, now)
