"""From a brief to a price: composed, billed, made and priced, without a calendar."""

from collections.abc import Iterable, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from math import ceil, prod
from types import MappingProxyType

from studio.estimate.brief import Brief
from studio.lattice.bill import Bill, bill_of
from studio.lattice.composition import Composition, compose
from studio.lattice.design import Design, Space
from studio.lattice.fit import best_fit
from studio.lattice.hangers import check_hangers
from studio.lattice.sections import BedLimit
from studio.making.cuts import cuts_of, days_to_make
from studio.making.equipment import Printer
from studio.making.measured import Factors, Measured, fit_factors
from studio.making.plan import MakingPlan, Plate, make
from studio.making.plates import TooMany
from studio.making.shop import ShopState, at_hours, stock_of
from studio.memo import memo
from studio.pricing.labour import stage_minutes
from studio.pricing.price import price
from studio.pricing.quantities import Quantities, count, parcels_of
from studio.pricing.rate_book import Bought, RateBook
from studio.pricing.sheet import PriceSheet
from studio.problem import Refused

__all__ = ["Made", "Priced", "price_up", "placed"]

BED_SHARES = (1.0, 0.85, 0.7, 0.55)
"""Shares of the beds' sides that sections may take, tried in this order."""
SOONER = 0.7
"""More seams are worth it only for a date that is clearly earlier: our own judgement, no source."""


@dataclass(frozen=True, eq=False)
class Priced:
    """A brief brought to a price: everything but dates. `hung_mass_g` is that of the printed parts and of the
    bought-in things."""

    composition: Composition
    bill: Bill
    plan: MakingPlan
    quantities: Quantities
    hung_mass_g: float
    sheet: PriceSheet


Made = dict[tuple[Design, Space], tuple[Composition, Bill, tuple[MakingPlan, ...]]]
"""What was made for a design in a space, so that a change of terms alone makes nothing anew."""


def price_up(brief: Brief, book: RateBook, shop: ShopState, made: Made | None = None) -> Priced:
    """Raises Refused with keys of the documents. `made` is kept up for the next brief, for one rate book and
    one state of the workshop."""
    kept, design = made if made is not None else {}, brief.design
    key = design, brief.space
    if key not in kept:
        try:
            composition = compose(design, best_fit(design, brief.space))
        except Refused as refused:
            raise placed(refused) from None
        bill, plans = _made(composition, brief, book, shop)
        if brief.space.mounting != "wall":
            bill = replace(bill, hangers=0)
        kept[key] = composition, bill, plans
    composition, bill, plans = kept[key]
    plan, quantities = _soonest([(plan, count(bill, plan, design, brief.terms)) for plan in plans], book)
    hung_mass_g = _hung_mass_g(plan, quantities, book)
    if bill.hangers:
        check_hangers(hung_mass_g, book.hanger_load_g, book.hanger_safety_factor, bill.modules)
    if brief.terms.delivery == "sent by carrier":
        quantities = replace(quantities, parcels=parcels_of(bill, hung_mass_g))
    return Priced(composition, bill, plan, quantities, hung_mass_g, price(quantities, book, brief.terms))


def _soonest(plans: Sequence[tuple[MakingPlan, Quantities]], book: RateBook) -> tuple[MakingPlan, Quantities]:
    """The plan that is made on the earliest day; of several the one with the fewest plates, then the first.

    The price counts plates, so nothing of the workshop has a say here but the hours that the rate book keeps:
    an option's price stays what it was when the studio changes its hours.
    """
    hours = at_hours(book.hours)

    def cost(priced: tuple[MakingPlan, Quantities]) -> tuple[float, int]:
        plan, quantities = priced
        labour = stage_minutes(quantities, book)
        before, after = float(labour["before"]), float(labour["making"] + labour["after"])
        hazard = book.failures_per_hour
        return days_to_make(plan.plates, before, after, hours, book.printers, hazard), len(plan.plates)

    return min(plans, key=cost) if len(plans) > 1 else plans[0]


def _made(
    composition: Composition, brief: Brief, book: RateBook, shop: ShopState
) -> tuple[Bill, tuple[MakingPlan, ...]]:
    """Bill and plans, in the largest sections that the printers can make.

    Sections that fit only the largest bed wait for one printer: where sections for a smaller bed finish much
    sooner over all printers, those are made. A section that fills a bed may also take longer than a printer's
    longest run: then smaller shares of the beds are tried before giving up.
    """
    free, factors = _free_grams(book, shop), _factors(book.measured)

    def planned(bill: Bill, plates: tuple[Plate, ...] | None = None) -> MakingPlan:
        return make(bill, book.printers, book.filaments, book.failures_per_hour, free, factors, plates)

    def made(printers: tuple[Printer, ...], share: float) -> tuple[Bill, MakingPlan]:
        bill = _bill(composition, brief.space, book, printers, share)
        return bill, planned(bill)

    found: list[Refused] = []
    for share in BED_SHARES:
        try:
            largest = made(book.printers, share)
        except TooMany as refused:  # smaller sections hardly take fewer
            raise placed(refused) from None
        except Refused as refused:
            found.append(refused)
            continue
        others = []
        for printer in _smaller_beds(book):
            with suppress(Refused):  # what does not go on a smaller bed stays on the larger one
                others.append(made((printer,), share))
        bill, plan = _sooner(largest, others, book)
        plans = [plan]
        with suppress(Refused):  # hours in which nothing is made are for the calendar to refuse
            cuts = cuts_of(bill.parts, book.printers, book.filaments, factors, at_hours(book.hours))
            plans += (planned(bill, plates) for plates in cuts if plates != plan.plates)
        return bill, tuple(plans)
    raise placed(found[0]) from None


@memo
def _factors(measured: tuple[Measured, ...]) -> Factors:
    """Fitted once for each list of plates, which is the same in most rate books."""
    try:
        return MappingProxyType(fit_factors(measured))
    except Refused as refused:
        raise refused.under("rate_book") from None


def _smaller_beds(book: RateBook) -> list[Printer]:
    """Printer kinds whose usable bed is smaller than the largest."""
    largest = max(width * depth for width, depth in (printer.usable_mm for printer in book.printers))
    return [printer for printer in book.printers if prod(printer.usable_mm) < largest]


def _sooner(
    first: tuple[Bill, MakingPlan], others: Iterable[tuple[Bill, MakingPlan]], book: RateBook
) -> tuple[Bill, MakingPlan]:
    """`first` unless another one's printing is over in less than SOONER of its time."""
    best = min(others, key=lambda pair: _span(pair[1], book), default=first)
    return best if _span(best[1], book) < SOONER * _span(first[1], book) else first


def _span(plan: MakingPlan, book: RateBook) -> float:
    """Minutes until the busiest printer kind is done, its printers sharing the work."""
    return max(plan.minutes_by_printer.get(printer.name, 0) / printer.count for printer in book.printers)


def _bill(
    composition: Composition, space: Space, book: RateBook, printers: tuple[Printer, ...], share: float
) -> Bill:
    beds = tuple(
        BedLimit(share * printer.usable_mm[0], share * printer.usable_mm[1], printer.height_mm)
        for printer in printers
    )
    return bill_of(composition, beds, space.way_in, book.key_spacing_mm, float(book.spares_percent))


def _free_grams(book: RateBook, shop: ShopState) -> Mapping[str, float]:
    return {filament.name: float(stock_of(shop, filament.name)) for filament in book.filaments}


def _hung_mass_g(plan: MakingPlan, quantities: Quantities, book: RateBook) -> float:
    """All that hangs: printed parts and bought-in things, as many as are paid for."""

    def bought(thing: Bought) -> float:
        number = quantities.counts[thing.per] * thing.quantity
        return thing.mass_g * float(ceil(number) if thing.whole else number)

    return round(plan.panel_mass_g + sum(map(bought, book.bought)), 2)


def placed(refused: Refused) -> Refused:
    """Problems of the design and the space under the brief; those of the rate book are at home already."""
    at_home = all(problem.field.startswith("rate_book") for problem in refused.problems)
    return refused if at_home else refused.under("brief")
