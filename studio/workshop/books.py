"""The rate book that holds today, and new ones in its place."""

from collections.abc import Callable, Iterable
from contextlib import suppress
from datetime import date
from typing import TypeVar

from django.db.models import QuerySet

from studio.memo import memo
from studio.people.models import User
from studio.pricing.example_rates import example_rate_book
from studio.pricing.rate_book import RateBook
from studio.problem import Problem
from studio.stored.door import Unreadable
from studio.stored.kinds import RATE_BOOK
from studio.voice import Voice
from studio.workshop.models import RateBookRevision, Studio
from studio.workshop.set_on import with_days

__all__ = [
    "LONG_AGO", "book_if_readable", "book_of", "book_of_text", "current_book", "current_revision",
    "first_readable", "holding", "later_books", "locked_studio", "readable_book", "save_book", "start_book",
    "the_studio", "voice_of",
]  # fmt: skip

T = TypeVar("T")
LONG_AGO = date(2000, 1, 1)
"""From when the example rates hold: before anything that a studio may want to price."""


def the_studio() -> Studio:
    """The same row for two who ask first at once."""
    return Studio.objects.order_by("pk").first() or Studio.objects.get_or_create(pk=1)[0]


def locked_studio() -> Studio:
    """The one lock that saving rates and the calendar takes first, held until the transaction ends. On
    SQLite transactions that write follow one another anyway."""
    return Studio.objects.select_for_update().get(pk=the_studio().pk)


def voice_of(studio: Studio, currency: str = "") -> Voice:
    """How this studio writes; without a currency for what has no amounts."""
    return Voice(studio.locale, "imperial" if studio.units == Studio.Units.IMPERIAL else "metric", currency)


def current_book(on: date) -> tuple[RateBookRevision, RateBook]:
    """The rate book that holds on a day. Raises Unreadable: no price is made with others in its place."""
    revision = current_revision(on)
    return revision, book_of(revision)


def current_revision(on: date) -> RateBookRevision:
    """The latest start, then the latest saved. The first use saves the example rates."""
    return holding(on).first() or _record(example_rate_book(), None, LONG_AGO)


def holding(on: date) -> QuerySet[RateBookRevision]:
    """Those that began on a day or before, the one that holds first."""
    return RateBookRevision.objects.filter(effective_from__lte=on).order_by("-effective_from", "-pk")


def readable_book(on: date) -> tuple[RateBookRevision, RateBook, tuple[Problem, ...]]:
    """The revision that holds on a day, and rates to show and to save anew: its own, else those of the newest
    before it that can be read, with the reasons why its own cannot."""
    revision = current_revision(on)
    try:
        return revision, book_of(revision), ()
    except Unreadable as unreadable:
        found = first_readable(book_of_text, holding(on).values_list("document", flat=True))
        return revision, found or example_rate_book(), unreadable.problems


def book_of(revision: RateBookRevision) -> RateBook:
    """Raises Unreadable."""
    return book_of_text(revision.document)


def book_if_readable(revision: RateBookRevision) -> RateBook | None:
    return first_readable(book_of_text, [revision.document])


def later_books(on: date) -> list[RateBookRevision]:
    """The rate books that take over after a day, one for each start, in order of time."""
    after = RateBookRevision.objects.filter(effective_from__gt=on).order_by("effective_from", "pk")
    return list({revision.effective_from: revision for revision in after}.values())


def save_book(
    book: RateBook, by: User | None, effective_from: date, confirmed: frozenset[str] = frozenset()
) -> RateBookRevision:
    """A new revision, whole; it holds until the start of the next later one. Rates that differ from those
    that held before are the studio's own from that day; so are `confirmed` ones (keys as in
    RateBook.set_on)."""
    _previous, before, _unread = readable_book(effective_from)
    return _record(with_days(book, before, effective_from, confirmed), by, effective_from)


def start_book(book: RateBook, by: User | None, effective_from: date) -> RateBookRevision:
    """A book that follows from none before it: its rates are set or examples as it says itself."""
    return _record(book, by, effective_from)


def _record(book: RateBook, by: User | None, effective_from: date) -> RateBookRevision:
    text, sha256 = RATE_BOOK.write_text(book)
    return RateBookRevision.objects.create(
        by=by, document=text, sha256=sha256, effective_from=effective_from, currency=book.currency
    )


def first_readable(read: Callable[[str], T], documents: Iterable[str]) -> T | None:
    """The first that can be read."""
    for document in documents:
        with suppress(Unreadable):
            return read(document)
    return None


@memo
def book_of_text(text: str) -> RateBook:
    """Revisions never change, so what was read once need not be read again."""
    return RATE_BOOK.read_text(text)
