"""What is agreed to once the day has passed from which a promise counts: the date as of now, of what was
frozen with the issue, by the workshop's calendar and bookings of now."""

from collections.abc import Callable
from dataclasses import dataclass, field
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

__all__ = ["Named", "live_days"]

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


def live_days(
    issue: ProposalIssue,
    stored: Stored,
    lapsed: dict[str, PromisedDay],
    as_of: date,
    more: Amounts = NOTHING,
) -> dict[str, Named]:
    """By the letters of `lapsed`, what was promised. The commission's own jobs take nothing from it; `more`
    is what others would take besides. While its slot is held nobody comes in between: the promised working
    days are counted from now, by the newest calendar that can be read. So are those of issues of schema 1,
    which kept nothing to schedule, and all while the calendar or the rates of now cannot be read."""
    if issue.schema == 1 or is_held(source_of(issue), as_of):
        return _counted(lapsed, as_of)
    try:
        shop, (revision, book) = shop_for(issue.proposal.commission, as_of, more), current_book(as_of)
    except Unreadable:
        return _counted(lapsed, as_of)
    digest, letters = stored.figures["making_sha256"], tuple(lapsed)
    on_site = "hung_from" not in stored.figures["options"][0]["estimate"]
    asked = _Asked(issue.pk, digest, letters, on_site, revision.sha256, shop, as_of, book)
    return dict(zip(letters, _scheduled(asked), strict=True))


def _counted(lapsed: dict[str, PromisedDay], as_of: date) -> dict[str, Named]:
    calendar = readable_calendar()[0]
    return {letter: _or_why(partial(was.as_of, as_of, calendar)) for letter, was in lapsed.items()}


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
