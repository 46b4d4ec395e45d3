"""From a brief to a price: composed, billed, made and priced, without a calendar."""

from dataclasses import dataclass, replace
from math import ceil

from studio.estimate.brief import Brief
from studio.estimate.held import Held, held, with_held
from studio.estimate.lighting import light_of
from studio.estimate.makings import Making, least, makings
from studio.lattice.bill import Bill
from studio.lattice.composition import Composition, compose
from studio.lattice.design import Design, Space
from studio.lattice.fit import best_fit
from studio.lattice.hangers import check_hangers
from studio.light.plan import LightPlan
from studio.making.plan import MakingPlan
from studio.making.shop import ShopState
from studio.pricing.price import price
from studio.pricing.quantities import Quantities, count, parcels_of
from studio.pricing.rate_book import Bought, RateBook
from studio.pricing.sheet import PriceSheet
from studio.problem import Refused

__all__ = ["Made", "Priced", "price_up", "placed"]


@dataclass(frozen=True, eq=False)
class Priced:
    """A brief brought to a price: everything but dates. `hung_mass_g` is that of the printed parts and of the
    bought-in things. `book` is the rate book with the hangers or feet that were chosen. `light` is None where
    there is none, or no catalogue to size it by."""

    composition: Composition
    bill: Bill
    plan: MakingPlan
    quantities: Quantities
    hung_mass_g: float
    sheet: PriceSheet
    light: LightPlan | None
    book: RateBook
    held: Held


Made = dict[tuple[Design, Space], tuple[Composition, Making]]
"""What was made for a design in a space, so that a change of terms alone makes nothing anew."""


def price_up(brief: Brief, book: RateBook, shop: ShopState, made: Made | None = None) -> Priced:
    """Raises Refused with keys of the documents. `made` is kept up for the next brief, for one rate book and
    one state of the workshop."""
    kept, design = made if made is not None else {}, brief.design
    key = design, brief.space
    if key not in kept:
        try:
            composition = compose(design, best_fit(design, brief.space))
            kept[key] = composition, least(makings(composition, brief, book, shop), design, book)
        except Refused as refused:
            raise placed(refused) from None
    composition, making = kept[key]
    bill, plan = making.bill, making.plan
    try:
        light = light_of(design, bill, book)
        quantities = count(bill, plan, design, brief.terms, light)
        evenly_g = _hung_mass_g(plan, quantities, book, light) - plan.panel_mass_g
        behind_mm = light.depth_mm if light else 0.0
        carried = held(composition, making, evenly_g, behind_mm, brief, book)
    except Refused as refused:
        raise placed(refused) from None
    book = with_held(book, carried.hanging, carried.standing)
    if carried.hanging:
        bill = replace(bill, hangers=carried.hanging.hangers)
        quantities = count(bill, plan, design, brief.terms, light)
    hung_mass_g = _hung_mass_g(plan, quantities, book, light)
    if bill.hangers and not carried.hanging:
        check_hangers(hung_mass_g, book.hanger_load_g, book.hanger_safety_factor, bill.modules)
    if brief.terms.delivery == "sent by carrier":
        quantities = replace(quantities, parcels=parcels_of(bill, hung_mass_g))
    sheet = price(quantities, book, brief.terms)
    return Priced(composition, bill, plan, quantities, hung_mass_g, sheet, light, book, carried)


def _hung_mass_g(plan: MakingPlan, quantities: Quantities, book: RateBook, light: LightPlan | None) -> float:
    """All that hangs: printed parts and bought-in things, as many as are paid for."""

    def bought(thing: Bought) -> float:
        number = quantities.counts[thing.per] * thing.quantity
        return thing.mass_g * float(ceil(number) if thing.whole else number)

    lit_g = light.mass_g if light else 0
    return round(plan.panel_mass_g + sum(map(bought, book.bought)) + lit_g, 2)


def placed(refused: Refused) -> Refused:
    """Problems of the design and the space under the brief; those of the rate book are at home already."""
    at_home = all(problem.field.startswith("rate_book") for problem in refused.problems)
    return refused if at_home else refused.under("brief")
