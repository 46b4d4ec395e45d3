"""People's minutes on a commission, by operation and by stage."""

from decimal import Decimal

from studio.pricing.quantities import Quantities
from studio.pricing.rate_book import Operation, Per, RateBook

__all__ = ["BY_MODULE", "STAGES", "labour_minutes", "minutes_of", "stage_minutes", "stage_of", "times_of"]

BY_MODULE: dict[Per, str] = {
    "backed panel": "backed module", "lit panel": "lit module", "hanging": "hung module",
}  # fmt: skip
"""Work on the panel that is done to each of its modules, and what is counted then: backing and wiring break
where they meet, and each is hung. What is bought for it is bought once."""
STAGES = ("before", "printing", "making", "after", "site")


def labour_minutes(quantities: Quantities, book: RateBook) -> Decimal:
    """Minutes of all people on this commission, without quoting, which won jobs pay for together."""
    return sum((minutes_of(operation, quantities) for operation in book.operations), Decimal(0))


def stage_minutes(quantities: Quantities, book: RateBook) -> dict[str, Decimal]:
    """Minutes of all people by stage, each of STAGES: what a calendar needs."""
    found = dict.fromkeys(STAGES, Decimal(0))
    for operation in book.operations:
        found[stage_of(operation)] += minutes_of(operation, quantities)
    return found


def stage_of(operation: Operation) -> str:
    """One of STAGES. "printing" is work by the plate, which a calendar books itself whenever a plate is
    swapped."""
    return "printing" if operation.per == "plate" else operation.stage


def minutes_of(operation: Operation, quantities: Quantities) -> Decimal:
    """Of all who work at it."""
    return times_of(operation, quantities) * operation.minutes * operation.people


def times_of(operation: Operation, quantities: Quantities) -> Decimal:
    """How often it is done. What happens on site besides the trip is ours only where we hang the panel."""
    each = quantities.counts["module"] if operation.per in BY_MODULE else 1
    trip = operation.per in ("kilometre", "delivery")
    ours = operation.stage != "site" or trip or quantities.hung
    return each * quantities.counts[operation.per] if ours else Decimal(0)
