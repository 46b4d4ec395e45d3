"""What rates that are saved for a later day would undo of what was changed since they were saved."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from studio.meanwhile import without_later
from studio.workshop.books import book_if_readable, current_revision, later_books
from studio.workshop.clock import today
from studio.workshop.models import RateBookRevision
from studio.workshop.rates_pages import KNOWN, RatesPage, rates_form

__all__ = ["Undone", "undone_on"]


@dataclass(frozen=True)
class Undone:
    """`later` takes over with the values of before: field in words, value until then, value from then on."""

    later: RateBookRevision
    fields: tuple[tuple[str, str, str], ...]


def undone_on(page: RatesPage) -> Iterator[Undone]:
    """For each start that lies ahead. A book is saved whole: what was changed in the one before it, since
    rates for that start were first saved, is in it only where somebody typed it there too."""
    for before, later in pairwise([current_revision(today()), *later_books(today())]):
        if fields := tuple(_undone(page, before, later)):
            yield Undone(later, fields)


def _undone(
    page: RatesPage, before: RateBookRevision, later: RateBookRevision
) -> Iterator[tuple[str, str, str]]:
    starts = RateBookRevision.objects.filter(effective_from=later.effective_from)
    first = starts.order_by("pk").values_list("pk", flat=True)[:1]
    made_from = (
        RateBookRevision.objects.filter(effective_from__lt=later.effective_from, pk__lt=first)
        .order_by("-effective_from", "-pk")
        .first()
    )
    books = [revision and book_if_readable(revision) for revision in (made_from, later, before)]
    if None not in books:
        was, then, now = (rates_form(page, book, today()) for book in books if book)
        yield from without_later(was, then, now, KNOWN)
