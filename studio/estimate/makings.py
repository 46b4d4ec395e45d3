"""Ways to make a composed panel, in larger or smaller sections with its plates cut in several ways, and which
of them is made."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from types import MappingProxyType

from studio.estimate.brief import Brief
from studio.lattice.bill import Bill, bill_of
from studio.lattice.composition import Composition
from studio.lattice.design import Design, Space
from studio.lattice.sections import high_enough
from studio.lattice.split import BedLimit, Cuts, split, splits
from studio.making.cuts import cuts_of, days_to_make
from studio.making.measured import Factors, Measured, fit_factors
from studio.making.plan import MakingPlan, Plate, make
from studio.making.plates import TooMany, plates_for
from studio.making.shop import ShopState, at_hours, stock_of
from studio.making.work import hours_problems
from studio.memo import memo
from studio.pricing.check import problems_in
from studio.pricing.costs import costs
from studio.pricing.labour import stage_minutes
from studio.pricing.quantities import count
from studio.pricing.rate_book import RateBook
from studio.pricing.terms import Terms
from studio.problem import Refused, refuse_all

__all__ = ["Making", "Weighed", "least", "makings", "weighed"]

SMALLER = 0.85
"""Sections are made as large as each bed takes, and to this share of the largest bed's sides. Of 293 random
panels, 9 come out more than 1 % better (by cost and days together) with shares of 0.7 to 1 of every bed."""
AT_LAST = (0.7, 0.55)
"""Shares of every bed, tried where nothing can be made with those."""


@dataclass(frozen=True, eq=False)
class Making:
    """A panel in these sections, on these plates."""

    bill: Bill
    plan: MakingPlan


@dataclass(frozen=True, slots=True)
class Weighed:
    """What a making costs, the working days until it is ready as expected, in a workshop of the rate book's
    hours without other work, and the two together, a day by the studio's own weight."""

    cost: Decimal
    days: Decimal
    both: Decimal


def makings(composition: Composition, brief: Brief, book: RateBook, shop: ShopState) -> tuple[Making, ...]:
    """Every way that the printers and the way in allow, the fewest sections first.

    Sections that fill the largest bed wait for one printer, and may take longer than its longest run. Raises
    Refused where there is no way, with what keeps the fewest sections from being made, and TooMany where
    these take too many plates: more sections hardly take fewer.
    """
    refusals, lines = list[Refused](), composition.design.seam_lines
    for beds in _beds(composition, book):
        found: list[Making] = []
        for cuts in splits(composition.fit, beds, lines):
            try:
                found += _planned(_bill(composition, brief.space, book, cuts), book, shop)
            except TooMany:
                if not found:
                    raise
            except Refused as refused:
                refusals.append(refused)
        if found:
            return tuple(found)
    raise refusals[0]


def _beds(composition: Composition, book: RateBook) -> Iterator[list[BedLimit]]:
    """What sections may be as large as; the next lists where nothing can be made with those before."""
    full = high_enough(composition.design, _whole(book))
    split(composition.fit, full, composition.design.seam_lines)
    largest = max(full, key=lambda bed: bed.width_mm * bed.depth_mm)
    yield [*full, largest.shared(SMALLER)]
    yield from ([bed.shared(share) for bed in full] for share in AT_LAST)


def _whole(book: RateBook) -> list[BedLimit]:
    return [BedLimit(*printer.usable_mm, printer.height_mm) for printer in book.printers]


def _bill(composition: Composition, space: Space, book: RateBook, cuts: Cuts) -> Bill:
    """Rails are as long as a bed takes, whatever the sections."""
    numbers = _whole(book), space.way_in, book.key_spacing_mm, float(book.spares_percent)
    bill = bill_of(composition, *numbers, cuts)
    return bill if space.mounting == "wall" else replace(bill, hangers=0)


def _planned(bill: Bill, book: RateBook, shop: ShopState) -> list[Making]:
    """These sections with their plates cut in each way. Raises Refused where none of them can be made."""
    free, factors = _free_grams(book, shop), _factors(book.measured)
    made, refusals = list[Making](), list[Refused]()
    for plates in _ways(bill, book, factors):
        try:
            plan = make(bill, book.printers, book.filaments, book.failures_per_hour, free, factors, plates)
            made.append(Making(bill, plan))
        except Refused as refused:
            refusals.append(refused)
    if not made:
        raise refusals[0]
    return made


def _ways(bill: Bill, book: RateBook, factors: Factors) -> tuple[tuple[Plate, ...], ...]:
    """Hours in which nothing is made are for the calendar to refuse: plates are then evened out."""
    hours, parts = at_hours(book.hours), bill.parts
    if any(hours_problems(hours)):
        return (plates_for(parts, book.printers, book.filaments, factors),)
    return cuts_of(parts, book.printers, book.filaments, factors, hours)


def least(found: Sequence[Making], design: Design, book: RateBook) -> Making:
    """The making of least cost and days together, a day by the studio's weight of it; of those alike the one
    of fewest sections, then with symmetric seams, then of fewest plates.

    Who carries the panel and what is fitted to its back change nothing of how it is made, so that neither a
    delivery nor a light costs more or less than itself: costs and days are those of a bare one that is
    delivered next door and hung. Raises Refused with everything in the rate book that keeps costs from being
    counted.
    """

    def burden(making: Making) -> tuple[Decimal, int, bool, int]:
        bill = making.bill
        return (
            weighed(making, design, book).both,
            len(bill.sections),
            not _symmetric(bill),
            len(making.plan.plates),
        )

    return min(found, key=burden)


def _symmetric(bill: Bill) -> bool:
    """Whether seams lie alike from left and right and from top and bottom."""
    across, up = bill.fit.across.addresses, bill.fit.up.addresses
    lines = {(s.column, s.row) for s in bill.sections}
    ends = {(s.column + s.columns, s.row + s.rows) for s in bill.sections}
    return lines == {(across - column, up - row) for column, row in ends}


def weighed(making: Making, design: Design, book: RateBook) -> Weighed:
    """Raises Refused with everything in the rate book that keeps costs from being counted."""
    terms = Terms(currency=book.currency, tax=book.tax[0].code, delivery="delivered and hung")
    bare, unlit = replace(design, backing="none", lit=False), replace(making.bill, light_length_mm=0.0)
    plates, quantities = making.plan.plates, count(unlit, making.plan, bare, terms)
    refuse_all(problems_in(quantities, book, terms))
    cost = sum((each.line.amount for each in costs(quantities, book)), Decimal(0))
    labour, hours = stage_minutes(quantities, book), at_hours(book.hours)
    if any(hours_problems(hours)):
        return Weighed(cost, Decimal(0), cost)
    before, after = float(labour["before"]), float(labour["making"] + labour["after"])
    hazard = book.failures_per_hour
    days = Decimal(days_to_make(plates, before, after, hours, book.printers, hazard))
    weight = book.weight_of_a_day
    return Weighed(cost, days, cost + weight * days if weight else cost)  # nothing times no end is no number


@memo
def _factors(measured: tuple[Measured, ...]) -> Factors:
    """Fitted once for each list of plates, which is the same in most rate books."""
    try:
        return MappingProxyType(fit_factors(measured))
    except Refused as refused:
        raise refused.under("rate_book") from None


def _free_grams(book: RateBook, shop: ShopState) -> Mapping[str, float]:
    return {filament.name: float(stock_of(shop, filament.name)) for filament in book.filaments}
