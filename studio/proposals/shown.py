"""An issue's figures as texts: what the screen and the PDF both show, so that no figure can differ."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from babel.dates import format_date
from babel.numbers import format_decimal

from studio.drawing.figures import Units, size_text
from studio.pricing.format import format_money

__all__ = ["Payment", "Shown", "ShownOption", "Sum", "Swatch", "shown"]


@dataclass(frozen=True, slots=True)
class Sum:
    """A text with its amount."""

    text: str
    amount: str


@dataclass(frozen=True, slots=True)
class Payment:
    """One payment with the tax in it (empty where there is none)."""

    text: str
    amount: str
    tax: str


@dataclass(frozen=True, slots=True)
class Swatch:
    """One filament in one use; `count` is empty for lattice and edging."""

    name: str
    filament: str
    colour: str
    count: str


@dataclass(frozen=True, slots=True)
class ShownOption:
    """`price` is the one that this client reads first; for an unmeasured space it is a range, and `range`
    says why. `totals` leads from the lines' sum to what is paid."""

    letter: str
    paragraph: str
    size: str
    cells: str
    pieces: str
    mass: str
    price: Sum
    also: Sum
    lines: tuple[Sum, ...]
    totals: tuple[Sum, ...]
    deposits: tuple[Payment, ...]
    range: str
    ready: str
    ready_if: str
    palette: tuple[Swatch, ...]
    included: tuple[str, ...]

    @property
    def colours(self) -> tuple[Swatch, ...]:
        """Each filament once, in the order of the palette."""
        return tuple({swatch.filament: swatch for swatch in reversed(self.palette)}.values())[::-1]


@dataclass(frozen=True, slots=True)
class Shown:
    number: str
    issue: int
    issued_on: str
    issued_iso: str
    language: str
    valid_until: str
    cautions: tuple[str, ...]
    terms_text: str
    options: tuple[ShownOption, ...]

    @property
    def unmeasured(self) -> bool:
        return any(option.range for option in self.options)

    def option(self, letter: str) -> ShownOption | None:
        return next((option for option in self.options if option.letter == letter), None)


def shown(figures: dict[str, Any], discount: str = "") -> Shown:
    """`figures` is a frozen document of a known schema; `discount` is the parties' reason for one."""
    say = _Sayer(figures["locale"], figures["currency"], figures["units"])
    return Shown(
        number=figures["number"],
        issue=figures["issue"],
        issued_on=say.day(figures["issued_on"]),
        issued_iso=figures["issued_on"],
        language=figures["locale"].replace("_", "-"),
        valid_until=say.day(figures["valid_until"]),
        cautions=tuple(figures["cautions"]),
        terms_text=figures["terms_text"],
        options=tuple(
            _option(option, figures["client_kind"], discount, say) for option in figures["options"]
        ),
    )


@dataclass(frozen=True, slots=True)
class _Sayer:
    locale: str
    currency: str
    units: Units

    def money(self, amount: str) -> str:
        return format_money(Decimal(amount), self.currency, self.locale)

    def day(self, iso: str) -> str:
        return format_date(date.fromisoformat(iso), "long", locale=self.locale.replace("-", "_"))

    def number(self, value: int | Decimal) -> str:
        return format_decimal(value, locale=self.locale.replace("-", "_"))

    def percent(self, percent: str) -> str:
        return f"{self.number(Decimal(percent))}\u00a0%"

    def size(self, millimetres: float) -> str:
        return size_text(millimetres, self.units)

    def mass(self, grams: float) -> str:
        if self.units == "imperial":
            return f"{self.number(round(Decimal(str(grams)) / Decimal('453.59237'), 1))} lb"
        return f"{self.number(round(Decimal(str(grams)) / 1000, 1))} kg"


def _option(option: dict[str, Any], client_kind: str, discount: str, say: _Sayer) -> ShownOption:
    found = option["estimate"]
    net, gross = _price(found, "net", say), _price(found, "gross", say)
    price, also = (gross, net) if client_kind == "consumer" else (net, gross)
    return ShownOption(
        letter=option["letter"],
        paragraph=option["paragraph"],
        size=f"{say.size(found['fit']['width_mm'])} wide, {say.size(found['fit']['height_mm'])} high",
        cells=_cells(found["cells"], say),
        pieces=say.number(sum(infill["count"] for infill in found["infills"])),
        mass=say.mass(found["panel_mass_g"]),
        price=price,
        also=also,
        lines=tuple(_line(line, discount, say) for line in found["client_lines"]),
        totals=tuple(_totals(found, say)),
        deposits=tuple(_deposits(found, say)),
        range=_range(price, found),
        ready=say.day(found["ready_on"]),
        ready_if=_ready_if(found, say),
        palette=tuple(_swatch(row, say) for row in option["palette"]),
        included=tuple(option["included"]),
    )


PRICES = {"net": "Price without tax", "gross": "Price with tax"}


def _price(found: dict[str, Any], which: str, say: _Sayer) -> Sum:
    """Never a single figure for a space that was not measured."""
    if found["price_range"] is None:
        return Sum(PRICES[which], say.money(found[which]))
    low, high = map(say.money, found["price_range"][which])
    return Sum(f"{PRICES[which]}, unmeasured", f"{low} to {high}")


def _line(line: dict[str, Any], discount: str, say: _Sayer) -> Sum:
    reason = f": {discount}" if line["code"] == "discount" and discount else ""
    return Sum(line["text"] + reason, say.money(line["amount"]))


def _cells(cells: dict[str, int], say: _Sayer) -> str:
    kinds = [(kind, cells[kind]) for kind in ("whole", "half", "quarter") if cells[kind]]
    return ", ".join(f"{say.number(count)} {kind}" for kind, count in kinds)


def _totals(found: dict[str, Any], say: _Sayer) -> Iterator[Sum]:
    size = "" if found["price_range"] is None else ", for the size as said"
    yield Sum(PRICES["net"] + size, say.money(found["net"]))
    for tax in found["taxes"]:
        yield Sum(f"{tax['text']}, {say.percent(tax['percent'])}", say.money(tax["tax"]))
    yield Sum(PRICES["gross"] + size, say.money(found["gross"]))


def _deposits(found: dict[str, Any], say: _Sayer) -> Iterator[Payment]:
    for part in found["deposits"]:
        tax = say.money(part["tax"]) if Decimal(part["tax"]) else ""
        text = f"{part['text']}, {say.percent(part['percent'])}"
        yield Payment(text, say.money(part["gross"]), tax)


def _range(price: Sum, found: dict[str, Any]) -> str:
    if found["price_range"] is None:
        return ""
    return (
        f"The space has not been measured yet. For a size about as said the price is {price.amount}; it is "
        "settled once we have measured."
    )


def _ready_if(found: dict[str, Any], say: _Sayer) -> str:
    days = found["working_days"]
    counted = f"{say.number(days)} working day" + ("" if days == 1 else "s")
    return f"{counted} from cleared deposit and approved colours, if that is by {say.day(found['starts_on'])}"


def _swatch(row: dict[str, Any], say: _Sayer) -> Swatch:
    count = "" if row["count"] is None else say.number(row["count"])
    return Swatch(row["name"], row["filament"], row["colour"], count)
