"""People's minutes on a commission, by operation and by stage."""

from decimal import Decimal

from studio.pricing.quantities import Quantities, hundredths
from studio.pricing.rate_book import Operation, Per, RateBook

__all__ = [
    "BY_MODULE", "STAGES",
    "labour_minutes", "minutes_each", "minutes_of", "stage_minutes", "stage_of", "times_of",
]  # fmt: skip

BY_MODULE: dict[Per, str] = {
    "backed panel": "backed module", "lit panel": "lit module", "hanging": "hung module",
}  # fmt: skip
"""Work on the panel that is done to each of its modules, and what is counted then: backing and wiring break
where they meet, and each is hung. What is bought for it is bought once."""
STAGES = ("before", "printing", "making", "after", "site")


def labour_minutes(quantities: Quantities, book: RateBook) -> Decimal:
    """Minutes of all people on this commission, without quoting, which won jobs pay for together."""
    return sum((minutes_of(operation, quantities, book) for operation in book.operations), Decimal(0))


def stage_minutes(quantities: Quantities, book: RateBook) -> dict[str, Decimal]:
    """Minutes of all people by stage, each of STAGES: what a calendar needs."""
    found = dict.fromkeys(STAGES, Decimal(0))
    for operation in book.operations:
        found[stage_of(operation)] += minutes_of(operation, quantities, book)
    return found


def stage_of(operation: Operation) -> str:
    """One of STAGES. "printing" is the swap of a plate, which a calendar books itself whenever it happens."""
    return "printing" if operation.minutes is None else operation.stage


def minutes_of(operation: Operation, quantities: Quantities, book: RateBook) -> Decimal:
    """Of all who work at it."""
    return times_of(operation, quantities) * minutes_each(operation, book) * operation.people


def minutes_each(operation: Operation, book: RateBook) -> Decimal:
    """Of one person, once."""
    return hundredths(book.hours.swap_minutes) if operation.minutes is None else operation.minutes


def times_of(operation: Operation, quantities: Quantities) -> Decimal:
    """How often it is done. What happens on site besides the trip is ours only where we hang the panel; work
    by the plate is done again for every reprint that is to be expected."""
    if operation.per == "plate":
        return quantities.counts["plate"] + quantities.reprinted_plates
    each = quantities.counts["module"] if operation.per in BY_MODULE else 1
    trip = operation.per in ("kilometre", "delivery")
    ours = operation.stage != "site" or trip or quantities.hung
    return each * quantities.counts[operation.per] if ours else Decimal(0)
