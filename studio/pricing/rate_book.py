"""The studio's rate book: everything that turns quantities into money, saved whole as a revision."""

from dataclasses import field
from datetime import date
from decimal import Decimal
from typing import Annotated, Literal

from pydantic import Field

from studio.document import document
from studio.hanging.catalogue import Foot, Hanger, Hanging, Joints, Push
from studio.lattice.origin import Uncertainty
from studio.lattice.tolerance import Tolerances
from studio.light.catalogue import Lighting
from studio.making.equipment import Filament, Printer
from studio.making.measured import Measured
from studio.making.shop import Hours

__all__ = [
    "Bought", "Carrier", "Deposit", "Heading", "Operation", "Per", "RateBook", "TaxCategory", "TaxPart",
    "Treatment",
]  # fmt: skip

Name = Annotated[str, Field(min_length=1, max_length=80)]
Code = Annotated[str, Field(pattern=r"^[a-z][a-z0-9-]{0,39}$")]
Money = Annotated[Decimal, Field(ge=0, le=10**9, decimal_places=4)]
Percent = Annotated[Decimal, Field(ge=0, lt=100, decimal_places=4)]

Heading = Literal["panel", "light", "backing", "delivery", "hanging"]
"""What a client pays for, as the client reads it."""

Per = Literal[
    "commission", "plate", "filament change", "infill", "glued infill", "section", "seam key", "site joint",
    "module", "edged module", "colour", "square metre", "hanger", "light metre", "lit panel", "feed",
    "light supply", "backed panel",
    "sheet square metre", "diffuser square metre", "survey", "survey kilometre", "measurements sent",
    "kilometre", "delivery", "hanging",
]  # fmt: skip
"""What an operation or a bought-in thing is counted by. Surveys, deliveries, hangings and kilometres are 0
unless the brief has them; one trip counts when delivery and hanging combine. A delivery is by our own van; a
survey is a trip of its own, and where the client measures there is something else to do. Kilometres are there
and back; those of the survey count however the panel gets there. Labour by the plate counts expected reprints
too. A seam key is a joint along a seam, with a key or without. Work by the backed panel, the lit panel or the
hanging is done to each module (labour.py). Feeds and light supplies are those that the catalogue gives. Glued
infills are among the infills; edged modules are all modules of a panel with an edging, none of one without.
"""


@document
class Operation:
    """Labour: `minutes` of `role` per `per`. `people` work at once (their minutes add up in cost). None is
    the swap of a plate, which takes the minutes of the workshop's hours: dates and price have one figure."""

    code: Code
    text: Name
    role: Name
    minutes: Annotated[Decimal, Field(ge=0, le=100_000, decimal_places=4)] | None
    per: Per
    people: Annotated[int, Field(ge=1, le=20)] = 1
    stage: Literal["before", "making", "after", "site"] = "making"


@document
class Bought:
    """A bought-in thing or outlay: `price` per `unit`, `quantity` of them per `per`, rounded up to whole
    units where `whole`; `mass_g` is what one unit adds to the panel as hung; `group` is the client's
    heading. It comes `lead_days` (calendar days) after a job's start."""

    code: Code
    text: Name
    price: Money
    unit: Annotated[str, Field(max_length=20)] = "each"
    quantity: Annotated[Decimal, Field(ge=0, le=10**6, decimal_places=4)] = Decimal(1)
    per: Per
    whole: bool = False
    mass_g: Annotated[float, Field(ge=0, le=10**6)] = 0
    group: Heading = "panel"
    lead_days: Annotated[int, Field(ge=0, le=365)] = 0


@document
class Carrier:
    """A row of a carrier's table: `price` for a parcel whose longest side and mass are no more than these,
    of a module before it is packed; it is `days` working days on the road."""

    text: Name
    up_to_mm: Annotated[float, Field(gt=0, le=10**5)]
    up_to_g: Annotated[float, Field(gt=0, le=10**7)]
    price: Money
    days: Annotated[int, Field(ge=0, le=90)] = 0


Treatment = Literal["taxed", "exempt", "reverse charge", "untaxed"]
"""Why a category has its percentage: a rate; a supply that is exempt; one whose tax the client accounts for;
or a studio that is not registered for tax, whose prices have no word of it."""


@document
class TaxPart:
    """One of several taxes on the same base."""

    text: Name
    percent: Annotated[Decimal, Field(gt=0, le=100, decimal_places=4)]


@document
class TaxCategory:
    """`parts` are several taxes on one base, each with a line of its own on documents; they add up to
    `percent`. None is reckoned on another (no tax on a tax). `reason` is what documents say of no tax: needed
    for an exemption and a reverse charge, free for a studio that is untaxed."""

    code: Code
    text: Name
    percent: Annotated[Decimal, Field(ge=0, le=100, decimal_places=4)]
    parts: Annotated[tuple[TaxPart, ...], Field(max_length=5)] = ()
    treatment: Treatment = "taxed"
    reason: Annotated[str, Field(max_length=500)] = ""

    @property
    def percents(self) -> tuple[Decimal, ...]:
        """Of each tax; none has a single one of its percentage."""
        return tuple(part.percent for part in self.parts) or (self.percent,)


@document
class Deposit:
    text: Name
    percent: Annotated[Decimal, Field(gt=0, le=100, decimal_places=4)]


@document
class RateBook:
    """`roles` maps a role to its cost per hour. `set_on` maps the key of a rate ("filaments.Tea",
    "roles.maker", "operations.place-infill", "price") to the day on which the studio set it: rates without
    a day are examples. `measured` are the studio's own plates: they correct minutes and grams.

    Price: `basis` "margin" (share of the price) or "markup" (share of cost), named and never mixed, over
    all that takes a share of the price (`referral_percent` where the brief has a referral, `card_percent`).
    `rounding_step` 0 means none; rounding is on the price that the client reads first (`Terms.gross_first`),
    up or to the nearest step. A consumer's price has `rounding_ending` above the step (0.99 with a step of 1:
    12.99).

    `heading_tax` gives client headings a tax category of their own; it holds where the commission's category
    is the first of `tax`, for one that is outside it (abroad, exempt) is so in every line. Whether tax is due
    with each deposit (`deposit_is_tax_point`) or with the hand-over is for local tax rules to say; None for
    what is usual where the studio is (tax_customs.py).

    `day_weight` is what a working day less is worth to the studio where a panel can be made sooner or
    cheaper; None for its overhead of a day (`weight_of_a_day`).

    Without `hangers` a module has two of `hanger_load_g`, and nothing says where they sit; `feet`, the
    panel's own `joints` and the `push` it must stand: studio/hanging."""

    currency: Annotated[str, Field(pattern=r"^[A-Z]{3}$")] = "GBP"
    filaments: Annotated[tuple[Filament, ...], Field(min_length=1, max_length=200)]
    printers: Annotated[tuple[Printer, ...], Field(min_length=1, max_length=50)]
    roles: dict[Name, Money]
    operations: tuple[Operation, ...]
    bought: tuple[Bought, ...] = ()
    carrier: Annotated[tuple[Carrier, ...], Field(max_length=50)] = ()
    lighting: Lighting = Lighting()
    energy_per_kwh: Money = Decimal("0.28")
    overhead_per_hour: Money = Decimal("6.50")
    quoting_minutes: Annotated[Decimal, Field(ge=0, le=10_000)] = Decimal(90)
    quotes_won_percent: Annotated[Decimal, Field(ge=1, le=100)] = Decimal(40)
    quoting_role: Name = "designer"
    spares_percent: Annotated[Decimal, Field(ge=0, le=50)] = Decimal(2)
    failures_per_hour: Annotated[float, Field(ge=0, le=0.5)] = 0.01
    key_spacing_mm: Annotated[float, Field(ge=10, le=2000)] = 90
    hanger_load_g: Annotated[float, Field(ge=100, le=10**6)] = 20_000
    basis: Literal["margin", "markup"] = "margin"
    basis_percent: Annotated[Decimal, Field(ge=0, le=500, decimal_places=4)] = Decimal(35)
    referral_percent: Percent = Decimal(0)
    card_percent: Percent = Decimal(0)
    minimum_charge: Money = Decimal(0)
    rounding_step: Money = Decimal(5)
    rounding_way: Literal["nearest", "up"] = "nearest"
    rounding_ending: Money = Decimal(0)
    tax: Annotated[tuple[TaxCategory, ...], Field(min_length=1, max_length=10)]
    heading_tax: dict[Heading, Code] = field(default_factory=dict)
    tax_rounding: Literal["per category", "per line"] = "per category"
    deposit_is_tax_point: bool | None = None
    deposits: Annotated[tuple[Deposit, ...], Field(min_length=1, max_length=8)]
    uncertainty: Uncertainty = Uncertainty()
    validity_days: Annotated[int, Field(ge=1, le=365)] = 30
    hanger_safety_factor: Annotated[float, Field(ge=1, le=20)] = 4
    tolerances: Tolerances = Tolerances()
    measured: Annotated[tuple[Measured, ...], Field(max_length=500)] = ()
    hours: Hours = Hours()
    day_weight: Money | None = None
    hangers: Annotated[tuple[Hanger, ...], Field(max_length=50)] = ()
    printed_hangers: bool = False
    feet: Annotated[tuple[Foot, ...], Field(max_length=50)] = ()
    joints: Joints = Joints()
    push: Push = Push()
    set_on: dict[str, date] = field(default_factory=dict)

    @property
    def colours(self) -> dict[str, str]:
        """By the filament's name."""
        return {filament.name: filament.colour for filament in self.filaments}

    @property
    def hanging(self) -> Hanging:
        """What panels hang and stand by."""
        return Hanging(
            hangers=self.hangers,
            printed_allowed=self.printed_hangers,
            joints=self.joints,
            feet=self.feet,
            push=self.push,
        )

    @property
    def weight_of_a_day(self) -> Decimal:
        """Money a working day."""
        if self.day_weight is not None:
            return self.day_weight
        return self.overhead_per_hour * Decimal(str(self.hours.people_hours_per_day))
