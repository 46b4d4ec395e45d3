"""What might come: issues that nobody has answered, the day that each would have now, and the day that is
left if the others say yes first."""

from dataclasses import dataclass
from datetime import date

from django.db.models import QuerySet

from studio.commissions.estimating import jobs_of
from studio.making.booked import Amounts, differences, might_come, summed, takes
from studio.making.promised_day import PromisedDay
from studio.memo import memo
from studio.problem import Problem
from studio.proposals.booking import source_of
from studio.proposals.days import promises_of
from studio.proposals.live_days import Named, named_days
from studio.proposals.models import ProposalIssue
from studio.proposals.stored import Damaged, Stored, making_under, read
from studio.proposals.takes import most_demanding
from studio.proposals.wanted import verdicts_of
from studio.workshop.bookings import BookedJob, open_jobs

__all__ = ["MOST", "Coming", "coming", "coming_of", "unanswered"]

MOST = 12
"""So many of the newest are reckoned with, each dated twice at most: 24 schedules for all of them."""
UNREAD = Problem("issue", "what is stored of it is not what was sealed", "issue it anew")


@dataclass(frozen=True)
class Coming:
    """`letter` is the option that takes most, by which the issue is dated: `now`, and `after` so many
    `others` that would take something more. `job` is how it is booked, if it is; `held` and `lapsed` tell of
    its hold. `slot_helps` where the day by which the client wants it holds now and not after the others."""

    issue: ProposalIssue
    letter: str
    job: BookedJob | None
    now: Named
    after: Named
    others: int
    today: date
    slot_helps: bool

    @property
    def held(self) -> date | None:
        """The last day of a hold that is not over."""
        job = self.job
        return job.held_until if job and takes(job.state, job.held_until, self.today) else None

    @property
    def lapsed(self) -> date | None:
        job = self.job
        return job.held_until if job and might_come(job.state, job.held_until, self.today) else None

    @property
    def steps(self) -> int:
        return self.job.steps if self.job else 0

    @property
    def now_on(self) -> date | None:
        return _on(self.now)

    @property
    def after_on(self) -> date | None:
        return _on(self.after)

    @property
    def why_not(self) -> Problem | None:
        """Why it has no day, now or after the others."""
        return next((each for each in (self.now, self.after) if isinstance(each, Problem)), None)


def _on(named: Named) -> date | None:
    return named.ready_on if isinstance(named, PromisedDay) else None


@dataclass(frozen=True)
class _Offer:
    """`more` is what it would take that is not taken now: nothing of a slot that is held, of a variation what
    differs from what is sold. Nothing is known of what cannot be read."""

    issue: ProposalIssue
    job: BookedJob | None
    stored: Stored | None
    letter: str
    more: Amounts


@dataclass(frozen=True)
class _Making:
    """The issue's making, known by its digest."""

    issue_pk: int
    sha256: str


def unanswered(today: date) -> QuerySet[ProposalIssue]:
    """Issues that can still be approved and tell what they take, the newest first."""
    standing = ProposalIssue.objects.filter(state=ProposalIssue.State.ISSUED, decision=None, schema__gte=2)
    rows = standing.filter(valid_until__gte=today).select_related("proposal__commission__client")
    return rows.order_by("-issued_at", "-pk").defer("pdf", "drawings", "making", "costs")


def coming(today: date) -> list[Coming]:
    """The newest MOST that nobody has answered, each with the others."""
    offers = _offers(today)
    return [_coming(offer, offers, today) for offer in offers]


def coming_of(issue: ProposalIssue, today: date) -> Coming | None:
    """One of them, which alone is dated. None where it is not among them."""
    offers = _offers(today)
    return next((_coming(offer, offers, today) for offer in offers if offer.issue.pk == issue.pk), None)


def _offers(today: date) -> list[_Offer]:
    jobs = open_jobs(by_hand=False)
    return [_offer(issue, jobs, today) for issue in unanswered(today)[:MOST]]


def _offer(issue: ProposalIssue, jobs: list[BookedJob], today: date) -> _Offer:
    job = next((job for job in jobs if job.source == source_of(issue)), None)
    try:
        stored = read(issue)
        letter, amounts = _most(_Making(issue.pk, stored.figures["making_sha256"]))
    except Damaged:
        return _Offer(issue, job, None, "", {})
    own = jobs_of(issue.proposal.commission)
    theirs = [each for each in jobs if each.source.startswith(own)]
    taken = summed(each.amounts for each in theirs if takes(each.state, each.held_until, today))
    return _Offer(issue, job, stored, letter, differences(taken, amounts))


@memo
def _most(asked: _Making) -> tuple[str, Amounts]:
    """A making is large, and read only once."""
    issue = ProposalIssue.objects.select_related("proposal").only("making", "number", "proposal")
    return most_demanding(making_under(issue.get(pk=asked.issue_pk), asked.sha256))


def _coming(offer: _Offer, offers: list[_Offer], today: date) -> Coming:
    others = [each.more for each in offers if each is not offer and each.more]
    promised = promises_of(offer.stored.figures)[offer.letter] if offer.stored else None
    now = _day(offer, promised, {}, today)
    after = _day(offer, promised, summed(others), today) if others else now
    helps = _meets(offer, now, today) and not _meets(offer, after, today)
    return Coming(offer.issue, offer.letter, offer.job, now, after, len(others), today, helps)


def _meets(offer: _Offer, named: Named, today: date) -> bool:
    """Whether the day holds by which the client wants it, if they gave one."""
    found = verdicts_of(offer.stored.figures, {offer.letter: named}, today) if offer.stored else {}
    return any(each.holds for each in found.values())


def _day(offer: _Offer, promised: PromisedDay | None, more: Amounts, today: date) -> Named:
    if offer.stored is None or promised is None:
        return UNREAD
    return named_days(offer.issue, offer.stored, {offer.letter: promised}, today, more)[offer.letter]
