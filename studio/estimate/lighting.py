"""The light of a design, by the rate book's catalogue."""

from dataclasses import dataclass
from decimal import Decimal

from studio.lattice.bill import Bill
from studio.lattice.design import Design
from studio.light.plan import LightPlan
from studio.light.planning import Wanted, light_plan
from studio.money import round_money
from studio.pricing.quantities import hundredths
from studio.pricing.rate_book import RateBook
from studio.pricing.terms import Terms

__all__ = ["Running", "light_of", "running"]


@dataclass(frozen=True, slots=True)
class Running:
    """A light in a year: `cost` is None while nobody knows what the client pays for a kilowatt hour."""

    hours_a_day: Decimal
    kwh: Decimal
    cost: Decimal | None


def running(light: LightPlan, terms: Terms) -> Running:
    """By the client's hours and price."""
    kwh = hundredths(light.kwh_a_year(float(terms.light_hours_a_day)))
    price = terms.light_price_per_kwh
    return Running(
        terms.light_hours_a_day, kwh, None if price is None else round_money(kwh * price, terms.currency)
    )


def light_of(design: Design, bill: Bill, book: RateBook) -> LightPlan | None:
    """None for a panel without a light, or where the catalogue has no strip: then light is priced by the
    metre and the lit panel alone. Raises Refused with keys of the design and the rate book."""
    if not design.lit or not book.lighting.strips:
        return None
    distance = design.light_diffuser_mm
    wanted = Wanted(
        layout=design.light_layout,
        strip=design.light_strip,
        control=design.light_control,
        diffuser_mm=None if distance is None else float(distance),
    )
    used = {part.filament for part in bill.parts}
    materials = {filament.material for filament in book.filaments if filament.name in used}
    return light_plan(bill, wanted, book.lighting, materials, _work_on_a_feed(book))


def _work_on_a_feed(book: RateBook) -> Decimal:
    """What labour by the feed costs, with its overhead; roles that there are not are refused elsewhere."""
    return sum(
        (
            (each.minutes or 0)
            * each.people
            * (book.roles.get(each.role, Decimal(0)) + book.overhead_per_hour)
            / 60
            for each in book.operations
            if each.per == "feed"
        ),
        Decimal(0),
    )
