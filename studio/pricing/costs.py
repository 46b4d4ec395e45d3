"""The cost lines of a panel: quantity times unit price, each with its working."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_HALF_UP, Decimal
from types import MappingProxyType
from typing import Literal

from studio.making.equipment import Filament, Printer
from studio.money import round_money
from studio.pricing.carrier import row_for
from studio.pricing.labour import BY_MODULE, minutes_each, minutes_of, times_of
from studio.pricing.quantities import Quantities, hundredths
from studio.pricing.rate_book import Bought, Heading, Operation, Per, RateBook
from studio.pricing.rates import (
    FOUR_PLACES,
    hours,
    machine_hour,
    origin,
    per_kilogram,
    plain,
    rate_input,
    spool_price,
    to_places,
)
from studio.pricing.sheet import Group, Input, PriceLine, Working

__all__ = ["Cost", "costs"]

MEASURED: frozenset[Per] = frozenset(
    ("square metre", "light metre", "sheet square metre", "diffuser square metre")
)
SPOKEN: dict[Per, str] = {"seam key": "joint along seams"}
"""What is counted, where its name in rate books says less or more than that."""
TRIPS: frozenset[Per] = frozenset(
    ("survey", "survey kilometre", "measurements sent", "kilometre", "delivery", "hanging")
)
HEADINGS: dict[Per, Heading] = {
    "light metre": "light",
    "lit panel": "light",
    "feed": "light",
    "light supply": "light",
    "backed panel": "backing",
    "sheet square metre": "backing",
    "diffuser square metre": "backing",
    "kilometre": "delivery",
    "delivery": "delivery",
    "hanging": "hanging",
}


@dataclass(frozen=True, slots=True)
class Cost:
    """A cost line, and the heading under which the client pays for it; None for the overhead, which goes
    where the `billable_hours` are that it is reckoned by."""

    line: PriceLine
    heading: Heading | None
    billable_hours: Decimal = Decimal(0)


def costs(quantities: Quantities, book: RateBook) -> tuple[Cost, ...]:
    """Every cost of a commission that is not zero in quantity. Quantity and unit price are stated to at most
    four decimals (kilograms to five), and the amount is their product, rounded once."""
    labour = tuple(_labour(quantities, book))
    worked = sum((cost.billable_hours for cost in labour), Decimal(0))
    found = (
        *_materials(quantities, book),
        *_machines(quantities, book),
        *labour,
        _quoting(book),
        *_bought(quantities, book),
        *_lit(quantities, book),
        *_carried(quantities, book),
        *_reprints(quantities, book),
        _overhead(worked, book),
    )
    return tuple(cost for cost in found if cost.line.quantity)


def _line(
    book: RateBook,
    code: str,
    text: str,
    group: Group,
    quantity: Decimal,
    unit: str,
    price: Decimal,
    working: Working,
) -> PriceLine:
    price = price.quantize(FOUR_PLACES, ROUND_HALF_UP)
    amount = round_money(quantity * price, book.currency)
    return PriceLine(code, text, group, quantity, unit, price, amount, working)


def _materials(quantities: Quantities, book: RateBook) -> Iterator[Cost]:
    for filament in book.filaments:
        if use := quantities.grams.get(filament.name):
            inputs = (
                Input("panel", f"{plain(use.panel)} g", "computed"),
                Input("spares", f"{plain(use.spares)} g", "computed"),
                *([Input("starts and changes", f"{plain(use.starts)} g", "computed")] if use.starts else []),
            )
            yield _filament(book, filament, "material", use.panel + use.spares + use.starts, inputs)


def _filament(
    book: RateBook,
    filament: Filament,
    group: Literal["material", "reprints"],
    grams: Decimal,
    used: tuple[Input, ...],
) -> Cost:
    where = origin(book, f"filaments.{filament.name}")
    working = Working(
        f"{_sum(used)} ÷ 1000 × {to_places('price per spool × 1000 ÷ spool')}",
        (
            *used,
            Input("price per spool", f"{plain(spool_price(filament))} {book.currency}", where),
            Input("spool", f"{plain(hundredths(filament.spool_g))} g", where),
        ),
    )
    code = f"{group}.{filament.name}" if group == "material" else f"{group}.material.{filament.name}"
    text = f"{filament.material} {filament.name}" + (", reprints" if group == "reprints" else "")
    line = _line(book, code, text, group, grams / 1000, "kg", per_kilogram(filament), working)
    return Cost(line, "panel")


def _machines(quantities: Quantities, book: RateBook) -> Iterator[Cost]:
    for printer in book.printers:
        minutes = quantities.minutes.get(printer.name, Decimal(0))
        changes = quantities.change_minutes.get(printer.name, Decimal(0))
        yield _machine(book, printer, "machine", minutes, changes)
    yield _energy(book, "machine", quantities.energy_kwh)


def _machine(
    book: RateBook,
    printer: Printer,
    group: Literal["machine", "reprints"],
    minutes: Decimal,
    changes: Decimal = Decimal(0),
) -> Cost:
    code = f"{group}.{printer.name}" if group == "machine" else f"{group}.machine.{printer.name}"
    text = f"Printing on {printer.name}" + (", reprints" if group == "reprints" else "")
    quantity, price = hours(minutes + changes), machine_hour(printer)
    working = _hour(book, printer, minutes, changes)
    return Cost(_line(book, code, text, group, quantity, "h", price, working), "panel")


def _hour(book: RateBook, printer: Printer, minutes: Decimal, changes: Decimal) -> Working:
    key, money = f"printers.{printer.name}", book.currency
    used = [Input("printing", f"{plain(minutes)} min", "computed")]
    if changes:
        used.append(Input("changes of filament", f"{plain(changes)} min", "computed"))
    an_hour = to_places("(purchase − scrap value) ÷ life + upkeep")
    return Working(
        f"{to_places(f'{_sum(used)} ÷ 60')} × {an_hour}",
        (
            *used,
            rate_input(book, key, "purchase", printer.purchase, money),
            rate_input(book, key, "scrap value", printer.scrap_value, money),
            rate_input(book, key, "life", printer.life_hours, "h"),
            rate_input(book, key, "upkeep", printer.upkeep_per_hour, f"{money}/h"),
        ),
    )


def _energy(book: RateBook, group: Literal["machine", "reprints"], kwh: Decimal) -> Cost:
    """Kilowatt hours by phase (heating up, printing) at one price."""
    rate = rate_input(book, "energy_per_kwh", "price of energy", book.energy_per_kwh, f"{book.currency}/kWh")
    working = Working(
        "energy used × price of energy", (Input("energy used", f"{plain(kwh)} kWh", "computed"), rate)
    )
    text = "Energy for printing" + (", reprints" if group == "reprints" else "")
    return Cost(
        _line(book, f"{group}.energy", text, group, kwh, "kWh", book.energy_per_kwh, working), "panel"
    )


def _reprints(quantities: Quantities, book: RateBook) -> Iterator[Cost]:
    for filament in book.filaments:
        if use := quantities.grams.get(filament.name):
            again = (Input("expected reprints", f"{plain(use.reprints)} g", "computed"),)
            yield _filament(book, filament, "reprints", use.reprints, again)
    for printer in book.printers:
        yield _machine(book, printer, "reprints", quantities.reprint_minutes.get(printer.name, Decimal(0)))
    yield _energy(book, "reprints", quantities.reprint_energy_kwh)


def _labour(quantities: Quantities, book: RateBook) -> Iterator[Cost]:
    for operation in book.operations:
        quantity = hours(minutes_of(operation, quantities, book))
        rate, working = book.roles[operation.role], _work(book, operation, quantities)
        line = _line(book, f"labour.{operation.code}", operation.text, "labour", quantity, "h", rate, working)
        on_site: Heading = "hanging" if operation.stage == "site" else "panel"
        yield Cost(line, HEADINGS.get(operation.per, on_site), line.quantity)


def _work(book: RateBook, operation: Operation, quantities: Quantities) -> Working:
    key, times = f"operations.{operation.code}", times_of(operation, quantities)
    counted: tuple[Input, ...] = (_counted(operation.per, times, BY_MODULE),)
    if operation.per == "plate":
        again = Input("reprints", plain(quantities.reprinted_plates), "computed")
        counted = (
            _counted("plate", quantities.counts["plate"]),
            *([again] if quantities.reprinted_plates else []),
        )
    minutes_key = "hours" if operation.minutes is None else key
    return Working(
        f"{to_places(f'{_sum(counted)} × minutes × people ÷ 60')} × {operation.role}",
        (
            *counted,
            rate_input(book, minutes_key, "minutes", minutes_each(operation, book), "min"),
            rate_input(book, key, "people", Decimal(operation.people), ""),
            rate_input(
                book,
                f"roles.{operation.role}",
                operation.role,
                book.roles[operation.role],
                f"{book.currency}/h",
            ),
        ),
    )


def _sum(inputs: Sequence[Input]) -> str:
    added = " + ".join(item.name for item in inputs)
    return f"({added})" if len(inputs) > 1 else added


def _counted(per: Per, times: Decimal, spoken: Mapping[Per, str] = MappingProxyType({})) -> Input:
    name = spoken.get(per, SPOKEN.get(per, per))
    if per in MEASURED:
        return Input(name, plain(times), "computed")
    return Input(name, plain(times), "brief" if per in TRIPS else "counted")


def _bought(quantities: Quantities, book: RateBook) -> Iterator[Cost]:
    for thing in book.bought:
        times = quantities.counts[thing.per]
        quantity = times * thing.quantity
        if thing.whole:
            quantity = quantity.to_integral_value(ROUND_CEILING)
        quantity = quantity.quantize(FOUR_PLACES, ROUND_HALF_UP)
        working = _purchase(book, thing, times)
        line = _line(
            book, f"bought.{thing.code}", thing.text, "bought-in", quantity, thing.unit, thing.price, working
        )
        yield Cost(line, thing.group)


def _purchase(book: RateBook, thing: Bought, times: Decimal) -> Working:
    key, counted = f"bought.{thing.code}", _counted(thing.per, times)
    number = f"{counted.name} × quantity"
    formula = f"{f'({number}, rounded up)' if thing.whole else to_places(number)} × price"
    return Working(
        formula,
        (
            counted,
            rate_input(book, key, "quantity", thing.quantity, thing.unit),
            rate_input(book, key, "price", thing.price, f"{book.currency} {thing.unit}"),
        ),
    )


def _lit(quantities: Quantities, book: RateBook) -> Iterator[Cost]:
    """What the light needs of the catalogue."""
    for item in quantities.light:
        key, number = f"lighting.{item.kind}.{item.code}", hundredths(item.number)
        name, origin = ("metres", "computed") if item.unit == "m" else ("pieces", "counted")
        price = rate_input(book, key, "price", item.price, f"{book.currency} {item.unit}")
        working = Working(f"{name} × price", (Input(name, plain(number), origin), price))
        line = _line(book, key, item.text, "bought-in", number, item.unit, item.price, working)
        yield Cost(line, "light")


def _carried(quantities: Quantities, book: RateBook) -> Iterator[Cost]:
    """By the rows of the carrier's table that take the parcels."""
    rows = [row_for(parcel, book) for parcel in quantities.parcels]
    for row in dict.fromkeys(row for row in rows if row):
        key, parcels = f"carrier.{row.text}", Decimal(rows.count(row))
        price = rate_input(book, key, "price", row.price, book.currency)
        working = Working("parcels × price", (Input("parcels", plain(parcels), "counted"), price))
        line = _line(book, key, row.text, "bought-in", parcels, "each", row.price, working)
        yield Cost(line, "delivery")


def _overhead(worked_hours: Decimal, book: RateBook) -> Cost:
    working = Working(
        "billable labour × overhead",
        (
            Input("billable labour", f"{plain(worked_hours)} h", "computed"),
            rate_input(book, "overhead_per_hour", "overhead", book.overhead_per_hour, f"{book.currency}/h"),
        ),
    )
    text = "Overhead on billable hours"
    return Cost(
        _line(book, "overhead", text, "overhead", worked_hours, "h", book.overhead_per_hour, working), None
    )


def _quoting(book: RateBook) -> Cost:
    """A won job also pays for the quotes that were not won."""
    rate, role = book.roles[book.quoting_role], book.quoting_role
    working = Working(
        f"{to_places('minutes per quote ÷ quotes won ÷ 60')} × {role}",
        (
            rate_input(book, "quoting_minutes", "minutes per quote", book.quoting_minutes, "min"),
            rate_input(book, "quotes_won_percent", "quotes won", book.quotes_won_percent, "%"),
            rate_input(book, f"roles.{role}", role, rate, f"{book.currency}/h"),
        ),
    )
    quantity = hours(book.quoting_minutes * 100 / book.quotes_won_percent)
    return Cost(
        _line(book, "quoting", "Quoting, over won jobs", "labour", quantity, "h", rate, working), "panel"
    )
