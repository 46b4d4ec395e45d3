"""The days on which what is sold is brought or hung: agreed after the yes, moved or called off by a further
row, and booked as days of the van under a source of their own."""

from collections.abc import Iterable, Iterator, Sequence
from datetime import date, datetime, time
from itertools import islice
from math import ceil
from typing import Annotated

from django.db import transaction
from django.utils import timezone
from pydantic import Field

from studio.commissions.estimating import jobs_of
from studio.commissions.locks import locked_commission
from studio.commissions.models import Commission
from studio.document import document
from studio.letters.settling import take_back
from studio.making.booked import Amounts
from studio.making.working_days import WorkingDays, working_days_of
from studio.people.models import User
from studio.problem import Conflict, Problem, refuse_all
from studio.proposals.booking import VAN, amounts_of, source_of, without_van
from studio.proposals.job_letters import about_jobs
from studio.proposals.models import Appointment, Decision
from studio.proposals.newest import still_sold
from studio.proposals.telling import tell
from studio.voice import day, said
from studio.workshop.bookings import job_of, move, open_jobs
from studio.workshop.books import locked_studio
from studio.workshop.shop import readable_calendar

__all__ = ["Agreed", "agree", "call_off", "end_visits", "letter_about", "standing_among", "visits_of"]

NAMES = ("figures", "parties", "drawings", "pdf", "making", "costs")
DOCUMENTS = [f"decision__issue__{name}" for name in NAMES]


@document
class Agreed:
    """What is typed of an appointment. `seen` is how many rows there were when its page was made, `sold` the
    public id of the issue that it named; `anyway` that a day off, one before the final day, or one on which
    the van is out for others, is meant."""

    what: Appointment.What
    day: date
    sold: Annotated[str, Field(max_length=12)]
    seen: Annotated[int, Field(ge=0, le=10**4)]
    from_time: time | None = None
    whom: Annotated[str, Field(min_length=1, max_length=200)] = ""
    note: Annotated[str, Field(max_length=2000)] = ""
    anyway: bool = False


def visits_of(commission: Commission) -> list[Appointment]:
    """The first day first; one query."""
    rows = Appointment.objects.filter(decision__proposal__commission=commission)
    issues = rows.select_related("by", "decision__issue__proposal__commission")
    return standing_among(issues.defer(*DOCUMENTS))


def letter_about(row: Appointment) -> str:
    """What names a letter about it among those about its yes."""
    return f"{row.what} {row.sequence}"


def standing_among(rows: Iterable[Appointment]) -> list[Appointment]:
    """Of all rows of one commission."""
    last = {row.what: row for row in sorted(rows, key=lambda row: row.sequence)}
    return sorted((row for row in last.values() if row.day), key=lambda row: row.day or date.max)


@transaction.atomic
def agree(yes: Decision, given: Agreed, by: User | None, now: datetime) -> Appointment:
    """The first appointment of its kind, or the day to which it is moved. Raises Conflict where another was
    written since the page was made, or something else is sold; Refused for a day that is over, and, unless it
    is meant, for a day off, one before the panel is ready and one on which the van is out for others."""
    yes = _locked(yes, given.sold, given.seen)
    locked_studio()  # of two who ask for the van at once one finds what the other did
    works = working_days_of(readable_calendar()[0])
    refuse_all(_problems(yes, given, works, timezone.localdate(now)))
    before = _last(yes, given.what)
    told = {"day": given.day, "from_time": given.from_time, "whom": given.whom, "note": given.note or None}
    made = _follow(yes, given.what, before, by, now, **told)
    _book(made, works, by)
    tell(
        yes.issue, f"{made.what} {'moved to' if before and before.day else 'agreed for'} {made.day}", by, now
    )
    return made


@transaction.atomic
def call_off(yes: Decision, what: str, seen: int, why: str, by: User | None, now: datetime) -> Appointment:
    """Raises Conflict where nothing is agreed, or another was written since the page was made."""
    yes = _locked(yes, yes.issue.public_id, seen)
    before = _last(yes, what)
    if before is None or before.day is None:
        raise Conflict.because("what", "nothing of the kind is agreed", "look at what stands now")
    tell(yes.issue, f"the {what} of {before.day} is called off", by, now)
    made = _follow(yes, what, before, by, now, note=why.strip()[:2000] or None)
    if not any(row.what == Appointment.What.HANGING for row in visits_of(yes.proposal.commission)):
        _give_back(yes, by)
    return made


def end_visits(commission: Commission, by: User | None, now: datetime) -> None:
    """What is sold is not made: nobody drives."""
    for row in visits_of(commission):
        _follow(row.decision, row.what, row, by, now)


def _locked(yes: Decision, sold: str, seen: int) -> Decision:
    """What is sold by now, in a locked commission."""
    commission = locked_commission(yes.proposal.commission_id)
    if commission.stage not in (Commission.Stage.APPROVED, Commission.Stage.MAKING):
        raise Conflict.because("day", "nothing is to be brought any more", "look at what stands now")
    now = still_sold(yes, commission, "day")
    if now.issue.public_id != sold:
        raise Conflict.because("day", "another option is sold by now", "look at it, then go on")
    if Appointment.objects.filter(decision__proposal__commission=commission).count() != seen:
        reason = "an appointment was written down meanwhile"
        raise Conflict.because("day", reason, "look at what stands now, then go on")
    return now


def _problems(yes: Decision, given: Agreed, works: WorkingDays, today: date) -> Iterator[Problem]:
    release = getattr(yes, "release", None)
    ready_on = release.final_on if release else yes.agreed_on
    if given.day < today:
        reason = said("{} is over", day(given.day))
        yield Problem("day", reason, "a day from today on")
    elif given.day.year > today.year + 5:
        yield Problem("day", "this is more than five years away", "a nearer day")
    elif given.anyway:
        return
    elif not works.works(given.day):
        reason = said("the workshop is closed on {}", day(given.day))
        yield Problem("day", reason, "another day, or tick that this one is meant")
    elif ready_on and given.day < ready_on:
        reason = said("it is ready by {}, which is later", day(ready_on))
        yield Problem("day", reason, "a later day, or tick that this one is meant")
    elif out := _van_out(yes, _days(yes, given.what, given.day, works)):
        reason = said("the van is out on {} for another job: {}", day(out[0]), out[1])
        yield Problem("day", reason, "another day, or tick that both are meant")


def _van_out(yes: Decision, days: Sequence[date]) -> tuple[date, str] | None:
    """The first of these days on which another commission has the van, with the words of its job."""
    own = jobs_of(yes.proposal.commission)
    others = [job for job in open_jobs(by_hand=False) if not job.source.startswith(own)]
    taken = {name: job.words for job in others for kind, name in job.amounts if kind == "van days"}
    return next(((each, taken[each.isoformat()]) for each in days if each.isoformat() in taken), None)


def _days(yes: Decision, what: str, first: date, works: WorkingDays) -> list[date]:
    """Those on which the van is out: so many as were frozen for a hanging, one for a delivery."""
    frozen = amounts_of(yes).get(VAN, 0) / 100 if what == Appointment.What.HANGING else 1
    more = (each for each in works.since(first) if each != first)
    return [first, *islice(more, max(0, ceil(frozen) - 1))]


def _last(yes: Decision, what: str) -> Appointment | None:
    rows = Appointment.objects.filter(decision__proposal__commission=yes.proposal.commission_id, what=what)
    return rows.order_by("-sequence").first()


def _follow(
    yes: Decision, what: str, before: Appointment | None, by: User | None, now: datetime, **told: object
) -> Appointment:
    if before and before.day:
        _unbook(before, by)
        take_back(about_jobs([before.decision.issue], letter_about(before)), now)
    sequence = before.sequence + 1 if before else 1
    return Appointment.objects.create(decision=yes, what=what, sequence=sequence, at=now, by=by, **told)


def _book(row: Appointment, works: WorkingDays, by: User | None) -> None:
    """Each day of it by its name, and no longer among the days without one of the job that was sold."""
    yes, source = row.decision, _source(row)
    days = _days(yes, row.what, row.day or date.max, works)
    words = f"{row.get_what_display()}, proposal {yes.proposal.number}"
    takes: Amounts = {("van days", each.isoformat()): 100 for each in days}
    move(source, f"{source}-agreed", "firm", takes, words=words, by=by)
    job = job_of(source_of(yes.issue))
    if job and VAN in job.amounts and job.state in ("firm", "released"):
        move(job.source, f"{job.source}-step-{job.steps + 1}", job.state, without_van(job.amounts), by=by)


def _give_back(yes: Decision, by: User | None) -> None:
    """Without an appointment its days of the van are to come again, on a day that nobody knows."""
    job, whole = job_of(source_of(yes.issue)), amounts_of(yes).get(VAN, 0)
    if job and whole and job.state in ("firm", "released"):
        takes = {**job.amounts, VAN: whole}
        move(job.source, f"{job.source}-step-{job.steps + 1}", job.state, takes, by=by)


def _unbook(row: Appointment, by: User | None) -> None:
    job = job_of(_source(row))
    if job and job.state in ("firm", "released"):
        move(job.source, f"{job.source}-ended", "cancelled", by=by)


def _source(row: Appointment) -> str:
    return f"{source_of(row.decision.issue)}-{row.what}-{row.sequence}"
