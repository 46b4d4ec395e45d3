"""How a panel hangs or stands by the rate book's catalogue, and what that adds to bill and price."""

from dataclasses import dataclass, replace
from decimal import Decimal

from studio.estimate.brief import Brief
from studio.estimate.makings import Making
from studio.hanging.catalogue import Foot, Hanger
from studio.hanging.centre import Hung, hung_modules
from studio.hanging.plan import HangingPlan, plan_hanging
from studio.hanging.standing import Standing, plan_standing
from studio.lattice.composition import Composition
from studio.making.uses import Workshop, grams_each
from studio.pricing.rate_book import Bought, Operation, Per, RateBook
from studio.problem import Refused
from studio.voice import said

__all__ = ["Held", "held", "with_held"]


@dataclass(frozen=True, eq=False)
class Held:
    """A plan for a wall, or feet; neither where the catalogue has none, or a frame carries."""

    hanging: HangingPlan | None = None
    standing: Standing | None = None


def held(
    composition: Composition, making: Making, evenly_g: float, behind_mm: float, brief: Brief, book: RateBook
) -> Held:
    """`evenly_g` is what is bought in for the panel and lies evenly over it, `behind_mm` what its light
    takes. Raises Refused where nothing in the catalogue holds."""
    hanging, mounting = book.hanging, brief.space.mounting
    _refuse_shared(book)
    if mounting == "wall" and hanging.hangers:
        part_g, factor = _part_g(making, book), book.hanger_safety_factor
        chosen = composition.design.hanger
        return Held(
            plan_hanging(composition, making.bill, part_g, evenly_g, hanging, factor, chosen, behind_mm)
        )
    if mounting == "free-standing" and hanging.feet:
        modules = hung_modules(composition, making.bill, _part_g(making, book), evenly_g)
        return Held(standing=_standing(modules, brief, book))
    return Held()


def _refuse_shared(book: RateBook) -> None:
    """What is chosen becomes rows of the rate book, whose codes are its own."""
    bought, labour = ({row.code for row in rows} for rows in (book.bought, book.operations))
    for kind, rows in (("hangers", book.hangers), ("feet", book.feet)):
        for row in rows:
            if row.code in bought or (row.minutes and f"fit-{row.code}" in labour):
                told = "{}: what is bought in, or its labour, has the code {} already"
                reason = said(told, row.text, row.code)
                raise Refused.because(f"rate_book.{kind}", reason, "give it another code")


def _part_g(making: Making, book: RateBook) -> tuple[float, ...]:
    workshop = Workshop(book.printers, book.filaments, making.plan.factors)
    return grams_each(making.bill.parts, making.plan.plates, workshop)


def _standing(modules: tuple[Hung, ...], brief: Brief, book: RateBook) -> Standing:
    """Of all modules together; nobody has asked yet how deep the floor is, nor whether children are there."""
    mass_g = sum(module.mass_g for module in modules)
    bottom = min(module.box[1] for module in modules)
    top = max(module.box[3] for module in modules)
    centre_mm = sum(module.mass_g * module.y_mm for module in modules) / mass_g - bottom
    return plan_standing(mass_g, centre_mm, top - bottom, book.hanging, public=brief.space.public_room)


def with_held(book: RateBook, hanging: HangingPlan | None, standing: Standing | None) -> RateBook:
    """The rate book with what was chosen as rows of its own, so that it is counted, priced and weighed like
    anything else that is bought in."""
    if hanging:
        return _with(book, hanging.hanger, 1, "hanger")
    return _with(book, standing.foot, standing.feet, "commission") if standing else book


def _with(book: RateBook, chosen: Hanger | Foot, quantity: int, per: Per) -> RateBook:
    thing = Bought(
        code=chosen.code, text=chosen.text, price=chosen.price, quantity=Decimal(quantity), per=per,
        whole=True, mass_g=chosen.mass_g,
    )  # fmt: skip
    rows = (*book.bought, thing)
    kind = "hangers" if isinstance(chosen, Hanger) else "feet"
    days, day = dict(book.set_on), book.set_on.get(f"{kind}.{chosen.code}")
    if day:
        days |= {f"bought.{thing.code}": day, f"operations.fit-{chosen.code}": day}
    if not chosen.minutes:
        return replace(book, bought=rows, set_on=days)
    work = Operation(
        code=f"fit-{chosen.code}",
        text=f"Fitting: {chosen.text}",
        role=chosen.role,
        minutes=chosen.minutes * quantity,
        per=per,
    )
    return replace(book, bought=rows, operations=(*book.operations, work), set_on=days)
