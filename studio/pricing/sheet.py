"""The cost sheet and the price: lines that carry their working and add up."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from studio.pricing.rate_book import Treatment

__all__ = [
    "ClientLine", "Deposited", "Input", "PriceLine", "PriceSheet", "TaxLine", "TaxedPart", "Working",
]  # fmt: skip

Group = Literal[
    "material", "machine", "labour", "bought-in", "reprints", "overhead", "margin", "shares", "adjustment"
]


@dataclass(frozen=True, slots=True)
class Input:
    """One number in a working: what it is, its value with unit as text, and where it comes from ("counted",
    "computed", "example rate", "your rate of 2026-03-01", "brief")."""

    name: str
    value: str
    origin: str


@dataclass(frozen=True, slots=True)
class Working:
    """`formula` in words and signs, with the inputs that it names."""

    formula: str
    inputs: tuple[Input, ...]


@dataclass(frozen=True, slots=True)
class PriceLine:
    """`amount` is rounded once to the currency's minor unit; quantity * unit_price need not be exact for
    adjustments."""

    code: str
    text: str
    group: Group
    quantity: Decimal
    unit: str
    unit_price: Decimal
    amount: Decimal
    working: Working


@dataclass(frozen=True, slots=True)
class ClientLine:
    """What a client may see; no margin, no cost. Client lines add up to the price that the client reads
    first: with its tax for a consumer as is usual, without for a business. `tax` is the code of the line's
    one tax category; a discount has a line for each category that it takes from."""

    code: str
    text: str
    amount: Decimal
    tax: str


@dataclass(frozen=True, slots=True)
class TaxedPart:
    """One of the taxes of a category."""

    text: str
    percent: Decimal
    tax: Decimal


@dataclass(frozen=True, slots=True)
class TaxLine:
    """A category with what it comes to; `parts` add up to `tax`, and there are none where it is one tax.
    `treatment` and `reason` are those of the rate book."""

    code: str
    text: str
    percent: Decimal
    net: Decimal
    tax: Decimal
    parts: tuple[TaxedPart, ...] = ()
    treatment: Treatment = "taxed"
    reason: str = ""


@dataclass(frozen=True, slots=True)
class Deposited:
    """One payment; `taxes` are the parts of its net and tax in each category, and add up to them."""

    text: str
    percent: Decimal
    gross: Decimal
    net: Decimal
    tax: Decimal
    taxes: tuple[TaxLine, ...]


@dataclass(frozen=True, slots=True)
class PriceSheet:
    """Invariants: sum of line amounts = net; sum of client lines = gross if `lines_with_tax`, otherwise net;
    net + tax = gross; deposits add up to gross, and their net and tax to net and tax, in every tax category.
    `cost` is the sum of cost lines before
    margin; `margin_percent` what is left of the margin on net after every adjustment; `labour_minutes` of
    all people."""

    currency: str
    lines: tuple[PriceLine, ...]
    client_lines: tuple[ClientLine, ...]
    lines_with_tax: bool
    taxes: tuple[TaxLine, ...]
    cost: Decimal
    net: Decimal
    tax: Decimal
    gross: Decimal
    deposits: tuple[Deposited, ...]
    margin_percent: Decimal
    labour_minutes: Decimal

    @property
    def by_group(self) -> dict[str, Decimal]:
        """What the lines of each group add up to."""
        found: dict[str, Decimal] = {}
        for line in self.lines:
            found[line.group] = found.get(line.group, Decimal(0)) + line.amount
        return found
