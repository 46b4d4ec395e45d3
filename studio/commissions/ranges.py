"""Ranges of prices, worked out a part at a time and kept by what they depend on: each once, whoever asks."""

from contextlib import suppress
from datetime import date, timedelta

from studio.commissions.models import KnownRange, Option
from studio.document import dump, parse
from studio.estimate.ranges import range_digest, ranged
from studio.estimate.result import Estimate, PriceRange
from studio.making.shop import ShopState
from studio.problem import Refused
from studio.workshop.books import book_of

__all__ = ["PART", "with_known_range", "with_whole_range", "worked_on"]

PART, RELOADED = 12, 4
"""Fits that are priced at a time: aside, and while somebody waits for the page."""
KEPT_DAYS = 60
NO_SHOP = ShopState()
"""Calendar, stock and queue say nothing of a price."""


def with_known_range(option: Option, found: Estimate, on: date, reloaded: bool = False) -> Estimate:
    """The estimate with what is known of its range: nothing when it is first asked for, so that its price is
    there at once. Each time that the page is loaded again (`reloaded`), a part more is worked out."""
    if found.brief.space.taped_by_us:
        return found
    digest = _digest(option, found)
    row = KnownRange.objects.filter(digest=digest).first()
    if row is None:
        if reloaded:
            KnownRange.objects.filter(asked_on__lt=on - timedelta(days=KEPT_DAYS)).delete()
            KnownRange.objects.get_or_create(digest=digest, defaults={"asked_on": on})
        return found
    return _further(row, option, found, on, RELOADED if reloaded else 0)


def with_whole_range(option: Option, found: Estimate, on: date) -> Estimate:
    """Worked out to the end. What was done is kept, should it be too long for whoever waits."""
    further = worked_on(option, found, on)
    while (known := further.price_range) and known.priced < known.fits:
        further = worked_on(option, found, on)
    return further


def worked_on(option: Option, found: Estimate, on: date) -> Estimate:
    """The estimate with a part more of its range."""
    if found.brief.space.taped_by_us:
        return found
    digest = _digest(option, found)
    row, _ = KnownRange.objects.get_or_create(digest=digest, defaults={"asked_on": on})
    return _further(row, option, found, on, PART)


def _digest(option: Option, found: Estimate) -> str:
    return range_digest(found.brief, book_of(option.rate_book))


def _further(row: KnownRange, option: Option, found: Estimate, on: date, most: int) -> Estimate:
    """Of two who work at once, what the further one found is kept."""
    so_far = _read(row)
    if so_far is None and not most:
        return found
    further = ranged(found, book_of(option.rate_book), NO_SHOP, so_far, most)
    if (known := further.price_range) and known != so_far:
        rows = KnownRange.objects.filter(pk=row.pk)
        behind = rows.filter(priced__lt=known.priced) if so_far else rows
        behind.update(document=dump(known), priced=known.priced, asked_on=on)
    return further


def _read(row: KnownRange) -> PriceRange | None:
    """What another version kept is worked out again."""
    with suppress(Refused):
        return parse(PriceRange, row.document) if row.document else None
    return None
