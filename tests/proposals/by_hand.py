"""An option put together by hand, so that documents are tested against numbers that anybody can add up."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

import numpy as np

from studio.estimate.brief import Brief
from studio.estimate.result import Estimate, PriceRange
from studio.lattice.bill import Bill, Face, Module, Part, Ring, Section
from studio.lattice.design import Space
from studio.lattice.face import rectangle
from studio.lattice.tolerance import SizeError, WayError
from studio.making.calendar import Dates
from studio.making.plan import FilamentUse, MakingPlan, Plate, PlatePart
from studio.making.shop import Hours
from studio.pricing.example_rates import example_rate_book
from studio.pricing.rate_book import TaxCategory, TaxPart
from studio.pricing.sheet import ClientLine, Deposited, Input, PriceLine, PriceSheet, TaxLine, Working
from studio.pricing.terms import Discount, Terms
from studio.proposals.freeze import Frozen, Heading, OptionSent, freeze
from tests.drawing.panels import COLOURS, panel
from tests.estimate.said import ALWAYS, SAID, TAPED, WALL

AS_OF = date(2026, 3, 2)
HEADING = Heading(
    number="2026-0007",
    issue=1,
    issued_on=AS_OF,
    valid_until=date(2026, 4, 1),
    locale="en_GB",
    units="metric",
    paper="A4",
    terms_text="Payment by bank transfer.",
)
SALT = "22" * 16
PARTIES = {
    "salt": "00" * 16,
    "studio": {"name": "Withy Lane Panels", "address": "1 Withy Lane", "email": "", "phone": ""},
    "client": {"name": "Ms Adeyemi", "address": "2 Mill Road", "email": "a@client.example", "phone": ""},
    "space": "Hall",
    "title": "Hall screen",
    "invented": True,
    "evidence": {"measured_by": "Tam", "measured_on": "2026-03-01"},
}


WHOLE, HALF = "whole", "half, left hand"


def composition(columns: int = 6, rows: int = 8, **more):
    """Hemp leaf in every cell: 6 columns of 8 half sides have 42 whole and 12 half cells."""
    composed = panel("three-way", columns, rows, 44, **more)
    pieces = (
        replace(piece, pattern="hemp-leaf", made_as=f"hemp-leaf, {WHOLE if piece.shape == WHOLE else HALF}")
        for piece in composed.pieces
    )
    return replace(composed, pieces=tuple(pieces))


def discounted(price: PriceSheet, off: str, reason: str) -> PriceSheet:
    """`off` is given off a price that was higher by as much."""
    less, text, working = -Decimal(off), f"Discount: {reason}", price.lines[0].working
    first, panel = price.lines[0], price.client_lines[0]
    line = PriceLine("discount", text, "adjustment", Decimal(1), "", less, less, working)
    return replace(
        price,
        lines=(replace(first, amount=first.amount - less), *price.lines[1:], line),
        client_lines=(
            replace(panel, amount=panel.amount - less),
            *price.client_lines[1:],
            ClientLine("discount", text, less, panel.tax),
        ),
    )


def sheet(net: str = "1000.00", tax: str = "200.00", currency: str = "GBP") -> PriceSheet:
    """One cost, one margin, 20 % tax, half as deposit."""
    whole, taxed = Decimal(net), Decimal(tax)
    cost, half_net, half_tax = whole * 65 / 100, whole / 2, taxed / 2
    halves = (TaxLine("standard", "VAT", Decimal(20), half_net, half_tax),)
    working = Working("minutes ÷ 60 × rate", (Input("rate", "30.00 an hour", "example rate"),))
    return PriceSheet(
        currency=currency,
        lines=(
            PriceLine("labour", "Making", "labour", Decimal(1), "each", cost, cost, working),
            PriceLine("margin", "Margin", "margin", Decimal(1), "", whole - cost, whole - cost, working),
        ),
        client_lines=(
            ClientLine("panel", "Lattice panel, made to measure", whole * 9 / 10, "standard"),
            ClientLine("delivery", "Delivery", whole / 10, "standard"),
        ),
        lines_with_tax=False,
        taxes=(TaxLine("standard", "VAT", Decimal(20), whole, taxed),),
        cost=cost,
        net=whole,
        tax=taxed,
        gross=whole + taxed,
        deposits=(
            Deposited("On approval", Decimal(50), half_net + half_tax, half_net, half_tax, halves),
            Deposited("On hand-over", Decimal(50), half_net + half_tax, half_net, half_tax, halves),
        ),
        margin_percent=Decimal(35),
        labour_minutes=Decimal(600),
    )


def two_taxes() -> PriceSheet:
    """900.00 at 20 % and 100.00 of delivery at 5 %: 180.00 + 5.00."""
    plain = sheet(tax="185.00")
    panel, delivery = plain.client_lines
    halves = (
        TaxLine("standard", "VAT", Decimal(20), Decimal(450), Decimal(90)),
        TaxLine("reduced", "Reduced VAT", Decimal(5), Decimal(50), Decimal("2.50")),
    )
    return replace(
        plain,
        client_lines=(panel, replace(delivery, tax="reduced")),
        taxes=tuple(replace(half, net=2 * half.net, tax=2 * half.tax) for half in halves),
        deposits=tuple(replace(part, taxes=halves) for part in plain.deposits),
    )


DATES = (
    12,
    date(2026, 3, 5),
    date(2026, 3, 18),
    date(2026, 3, 20),
    14,
    date(2026, 3, 24),
    90,
    (),
    date(2026, 3, 25),
    1,
)


def estimate(
    *,
    measured: bool = True,
    price: PriceSheet | None = None,
    kind: str = "consumer",
    composed=None,
    discount: str = "",
) -> Estimate:
    """`discount` is the reason for £50 off."""
    price = price or sheet()
    given = Discount(kind="amount", value=Decimal(50), reason=discount) if discount else None
    composed = composed or composition()
    space = Space(widths_mm=(Decimal(270),), heights_mm=(Decimal(220),), **TAPED if measured else SAID)
    halves = int((composed.shape > 0).sum())
    return Estimate(
        brief=Brief(
            title="Ms Adeyemi's hall",
            design=replace(composed.design, lattice_filament="Walnut", edging_filament="Walnut"),
            space=space,
            terms=Terms(client_kind=kind, delivery="delivered", distance_km=Decimal(0), discount=given),
        ),
        as_of=AS_OF,
        composition=composed,
        bill=_bill(composed, len(composed.shape) - halves, halves),
        plan=_plan(len(composed.shape) - halves, halves),
        price=discounted(price, "50.00", discount) if discount else price,
        dates=Dates(*DATES),
        warnings=(),
        cautions=(WALL, *ALWAYS),
        price_range=None
        if measured
        else PriceRange(
            net=(Decimal("900.00"), Decimal("1100.00")),
            gross=(Decimal("1080.00"), Decimal("1320.00")),
            mass_g=(390.0, 450.0),
            priced=9,
            fits=9,
            every=True,
        ),
        size_error=SizeError(WayError(1.0, 0.5, ()), WayError(0.75, 0.25, ())),
        margins=(),
        hung_mass_g=420.0,
        hanger_load_needed_g=840.0,
        light=None,
        digest="d" * 64,
    )


def option(letter: str = "A", *, tax_point: bool = False, **more) -> OptionSent:
    """Its rate book has the taxes that its price has."""
    found = estimate(**more)
    book = replace(
        example_rate_book(),
        deposit_is_tax_point=tax_point,
        hours=Hours(swap_minutes=4),
        tax=tuple(
            TaxCategory(
                code=line.code,
                text=line.text,
                percent=line.percent,
                parts=tuple(TaxPart(text=part.text, percent=part.percent) for part in line.parts),
                treatment=line.treatment,
                reason=line.reason,
            )
            for line in found.price.taxes
        ),
    )
    words = f"Option {letter}. Hemp leaf in tea all over."
    return OptionSent(letter, found, COLOURS, words, book, "r" * 64)


def frozen(*options: OptionSent, heading: Heading = HEADING, parties=PARTIES, annex: bool = False) -> Frozen:
    return freeze(heading, options, parties, SALT, annex=annex)


def _bill(composed, whole: int, halves: int) -> Bill:
    square = Ring(np.array([[0.0, 0.0], [10.0, 0.0], [10.0, 10.0], [0.0, 10.0]]), hole=False)
    face = Face((square,), 100.0, 10.0, 10.0, "f" * 64)
    parts = (
        Part("infill", "hemp-leaf", WHOLE, "Tea", face, 6.0, whole, 1, "box", "crush rib"),
        Part("infill", "hemp-leaf", HALF, "Tea", face, 6.0, halves, 1, "box", "crush rib"),
        Part("section", "", "A, 6 × 8", "Walnut", rectangle(228.6, 176.0), 12.0, 1, 0, "box"),
    )
    fit = composed.fit
    return Bill(
        fit=fit,
        cells=(whole, halves, 0),
        open_cells=0,
        parts=parts,
        sections=(Section(0, fit.columns, 0, fit.rows, fit.width_mm, fit.height_mm, whole + halves, 0),),
        seams=(),
        modules=(Module((0,), fit.width_mm, fit.height_mm),),
        backing_area_mm2=0.0,
        light_length_mm=0.0,
        hangers=2,
        colours=2,
    )


def _plan(whole: int, halves: int) -> MakingPlan:
    """Two plates: the infills with a spare of each kind, and the lattice. A large panel's are left out."""
    small, large = "Small bed", "Large bed"
    infills = Plate(small, "Tea", (PlatePart(0, whole + 1), PlatePart(1, halves + 1)), 56, 180.0, 188.0, 0.1)
    lattice = Plate(large, "Walnut", (PlatePart(2, 1),), 1, 120.0, 240.0, 0.3)
    return MakingPlan(
        plates=(infills, lattice) if whole == 42 else (),
        print_minutes=300.0,
        reprint_minutes=9.0,
        minutes_by_printer={small: 180.0, large: 120.0},
        reprint_minutes_by_printer={small: 5.0, large: 4.0},
        filaments=(FilamentUse("Tea", 180.0, 8.0, 5.0, 1), FilamentUse("Walnut", 240.0, 0.0, 7.0, 1)),
        panel_mass_g=420.0,
    )
