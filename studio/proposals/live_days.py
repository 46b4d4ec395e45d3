"""What a yes agrees to: the later of the day that was issued and that of what was frozen with the issue, by
the workshop's calendar and bookings of now; once the start of the promise has passed, that day alone."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from functools import partial
from itertools import islice

from studio.commissions.estimating import shop_for
from studio.estimate.dates import frozen_dates
from studio.making.booked import Amounts
from studio.making.promised_day import PromisedDay
from studio.making.shop import ShopState
from studio.making.working_days import working_days_of
from studio.memo import memo
from studio.pricing.rate_book import RateBook
from studio.problem import Problem, Refused
from studio.proposals.booking import source_of
from studio.proposals.models import ProposalIssue
from studio.proposals.stored import Stored, making_under
from studio.stored.door import Unreadable
from studio.workshop.bookings import is_held
from studio.workshop.books import current_book
from studio.workshop.shop import NOTHING, readable_calendar

__all__ = ["Named", "named_days"]

Named = PromisedDay | Problem
"""A day, or why none can be named."""


@dataclass(frozen=True)
class _Asked:
    """A question that is known by the digests of the issue's making and of the rates, and by the workshop.
    Issues from before 0.3.0 counted the work `on_site` into being ready."""

    issue_pk: int
    making_sha256: str
    letters: tuple[str, ...]
    on_site: bool
    rates_sha256: str
    shop: ShopState
    as_of: date
    book: RateBook = field(compare=False)


def named_days(
    issue: ProposalIssue,
    stored: Stored,
    promised: Mapping[str, PromisedDay],
    as_of: date,
    more: Amounts = NOTHING,
) -> dict[str, Named]:
    """By the letters of what was `promised`. The commission's own jobs take nothing from it; `more` is what
    others would take besides. Until its start has passed, an issued day moves only if others who said yes
    took the place that it needs from that start on: work that was released since the issue was not under way
    on the day of issue, so it waits like what is not released.

    While its slot is held nobody comes in between: the promised working days stand, counted from now once
    their start has passed, by the newest calendar that can be read. So do those of issues of schema 1, which
    kept nothing to schedule, and all while the calendar or the rates of now cannot be read."""
    if issue.schema == 1 or is_held(source_of(issue), as_of):
        return _counted(promised, as_of)
    start, asked_on = next(iter(promised.values())).starts_on, as_of
    if as_of <= start:  # as it was asked, in the workshop of now
        asked_on = min(as_of, date.fromisoformat(stored.figures["issued_on"]))
    try:
        shop = shop_for(issue.proposal.commission, as_of, more, asked_on)
        revision, book = current_book(as_of)
    except Unreadable:
        return _counted(promised, as_of)
    if as_of <= start:
        shop = replace(shop, deposit_days=(start - asked_on).days, sample_days=0)
    digest, letters = stored.figures["making_sha256"], tuple(promised)
    on_site = "hung_from" not in stored.figures["options"][0]["estimate"]
    asked = _Asked(issue.pk, digest, letters, on_site, revision.sha256, shop, asked_on, book)
    live = dict(zip(letters, _scheduled(asked), strict=True))
    return live if as_of > start else {each: _later(was, live[each]) for each, was in promised.items()}


def _later(was: PromisedDay, live: Named) -> PromisedDay:
    """What was issued where no other day can be named, too. The day of the van is the later one by itself:
    another appointment may have that of a panel whose making nobody delays."""
    if not isinstance(live, PromisedDay):
        return was
    found = live if live.ready_on > was.ready_on else was
    if not (was.hung_from and live.hung_from):
        return found
    return replace(found, hung_from=max(was.hung_from, live.hung_from))


def _counted(promised: Mapping[str, PromisedDay], as_of: date) -> dict[str, Named]:
    calendar = readable_calendar()[0]
    return {letter: _or_why(partial(was.as_of, as_of, calendar)) for letter, was in promised.items()}


@memo
def _scheduled(asked: _Asked) -> tuple[Named, ...]:
    """A making is large, and read only when an answer is new."""
    issue = ProposalIssue.objects.select_related("proposal").only("making", "number", "proposal")
    making = making_under(issue.get(pk=asked.issue_pk), asked.making_sha256)
    return tuple(_or_why(partial(_day, making[letter], asked)) for letter in asked.letters)


def _day(making: dict[str, object], asked: _Asked) -> PromisedDay:
    found = frozen_dates(making, asked.book, asked.shop, asked.as_of)
    if not (asked.on_site and found.hung_from):
        return found.promise
    works = working_days_of(asked.shop)
    hung = next(islice(works.since(found.hung_from), found.site_days - 1, None))
    return PromisedDay(hung, found.starts_on, works.between(found.starts_on, hung))


def _or_why(find: Callable[[], PromisedDay]) -> Named:
    try:
        return find()
    except Refused as refused:
        return refused.problems[0]
