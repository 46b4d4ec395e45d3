"""What jobs take from the workshop, and what is left of it for others.

Amounts are whole hundredths (of minutes, grams, days), so that sums are exact in every database.
"""

from collections.abc import Collection, Iterable, Iterator, Mapping
from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from types import MappingProxyType
from typing import Literal, TypeAlias, get_args

from studio.making.shop import Calendar, Promise, ShopState, Stock

__all__ = [
    "FOLLOWS", "KINDS", "STATES", "Amounts", "Kind", "State",
    "amounts", "differences", "in_hundredths", "might_come", "shop_state", "summed", "takes", "unplaced",
]  # fmt: skip

Kind = Literal["printer minutes", "people minutes", "grams", "van days"]
State = Literal["offered", "held", "firm", "released", "done", "cancelled"]
Amounts: TypeAlias = Mapping[tuple[Kind, str], int]
"""Hundredths by kind and name: printer minutes by kind of printer, people's minutes by stage of work (empty
where it is not told), grams by filament, days of a van by the date, empty while none is agreed."""

KINDS: tuple[Kind, ...] = get_args(Kind)
STATES: tuple[State, ...] = get_args(State)
FOLLOWS: Mapping[State | None, tuple[State, ...]] = {
    None: ("offered", "held", "firm"),
    "offered": ("offered", "held", "firm", "cancelled"),
    "held": ("offered", "held", "firm", "cancelled"),
    "firm": ("firm", "released", "done", "cancelled"),
    "released": ("firm", "released", "done", "cancelled"),
    "done": ("firm", "released"),
    "cancelled": (),
}
"""Which state may come after which; None is a job that is not booked yet. The same state again is another
amount or another day. What is done may turn out not to be; what is cancelled is booked anew."""
PER_HOUR = 6000


def takes(state: State, held_until: date | None, as_of: date) -> bool:
    """Whether others must do without what a job in `state` takes. A hold counts on its last day."""
    if state == "held":
        return held_until is not None and held_until >= as_of
    return state in ("firm", "released")


def might_come(state: State, held_until: date | None, as_of: date) -> bool:
    """Whether it is offered, or was held until a day that is over."""
    return state == "offered" or (state == "held" and not takes(state, held_until, as_of))


def amounts(
    *,
    printer_minutes: Mapping[str, float | Decimal] | None = None,
    people_minutes: Mapping[str, float | Decimal] | None = None,
    grams: Mapping[str, float | Decimal] | None = None,
    van_days: float | Decimal = 0,
) -> dict[tuple[Kind, str], int]:
    """What a job takes, from figures by name; what is nothing is left out."""
    figures: dict[Kind, Mapping[str, float | Decimal]] = {
        "printer minutes": printer_minutes or {},
        "people minutes": people_minutes or {},
        "grams": grams or {},
        "van days": {"": van_days},
    }
    found = ((kind, name, in_hundredths(n)) for kind, named in figures.items() for name, n in named.items())
    return {(kind, name): hundredths for kind, name, hundredths in found if hundredths}


def in_hundredths(figure: float | Decimal) -> int:
    """Halves go up."""
    return int((Decimal(str(figure)) * 100).quantize(Decimal(1), ROUND_HALF_UP))


def differences(before: Amounts, after: Amounts) -> dict[tuple[Kind, str], int]:
    """What leads from one to the other, without what stays."""
    found = {key: after.get(key, 0) - before.get(key, 0) for key in {**before, **after}}
    return {key: hundredths for key, hundredths in found.items() if hundredths}


def summed(parts: Iterable[Amounts]) -> dict[tuple[Kind, str], int]:
    """All together; what becomes nothing is left out."""
    found: dict[tuple[Kind, str], int] = {}
    for part in parts:
        for key, hundredths in part.items():
            found[key] = found.get(key, 0) + hundredths
    return {key: hundredths for key, hundredths in found.items() if hundredths}


def unplaced(taken: Amounts, printers: Collection[str]) -> list[str]:
    """Kinds of printer that hours are booked on, and that are not among `printers`."""
    return sorted({name for kind, name in taken if kind == "printer minutes"}.difference(printers))


def shop_state(
    calendar: Calendar,
    taken: Amounts,
    shelf: Mapping[str, int],
    printers: Collection[str] = (),
    under_way: Amounts = MappingProxyType({}),
) -> ShopState:
    """The workshop as an estimate needs it: `taken` by all jobs together, of which so much is `under_way`,
    `shelf` in hundredths of a gram by filament. Days of a van are not people's: who drives is among the
    people's minutes. Those that are agreed have the day as their name.

    `printers` are the kinds that the studio has, where they are known. Hours booked on another, which it has
    no more, wait for each of them: nobody has said yet which is to print them, and no date of others may be
    too early whichever does."""
    fields = {name: getattr(calendar, name) for name in Calendar.__dataclass_fields__}
    waiting = differences(under_way, taken)
    parts = [(_placed(part, printers) if printers else part) for part in (under_way, waiting)]
    stock = tuple(_stock(taken, shelf))
    promised = (*_promised(parts[0], under_way=True), *_promised(parts[1], under_way=False))
    return ShopState(**fields, stock=stock, promised=promised, van_out=tuple(_van_out(taken)))


def _placed(taken: Amounts, printers: Collection[str]) -> Amounts:
    gone = unplaced(taken, printers)
    hours = sum(taken["printer minutes", name] for name in gone)
    kept = {
        (kind, name): n for (kind, name), n in taken.items() if kind != "printer minutes" or name not in gone
    }
    return summed([kept, {("printer minutes", name): hours for name in printers}])


def _stock(taken: Amounts, shelf: Mapping[str, int]) -> Iterator[Stock]:
    """More taken off than was ever put on is a shelf with nothing on it."""
    promised = {name: hundredths for (kind, name), hundredths in taken.items() if kind == "grams"}
    for name in sorted({*shelf, *promised}):
        on_shelf, of_it = max(0, shelf.get(name, 0)), promised.get(name, 0)
        if on_shelf or of_it:
            yield Stock(filament=name, shelf_g=on_shelf / 100, promised_g=of_it / 100)


def _van_out(taken: Amounts) -> Iterator[date]:
    for (kind, name), hundredths in sorted(taken.items()):
        if kind == "van days" and name and hundredths > 0:
            yield date.fromisoformat(name)


def _promised(taken: Amounts, under_way: bool) -> Iterator[Promise]:
    for (kind, name), hundredths in sorted(taken.items()):
        if kind == "printer minutes" and hundredths:
            yield Promise(printer=name, printer_hours=hundredths / PER_HOUR, under_way=under_way)
    if people := sum(hundredths for (kind, _), hundredths in taken.items() if kind == "people minutes"):
        yield Promise(people_hours=people / PER_HOUR, under_way=under_way)
