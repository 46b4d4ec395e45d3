"""An example rate book: a studio of two people, in pounds. All rates are invented.

They are of a size that such a studio would recognise, and every working calls them example rates until the
studio sets its own; no proposal is issued on them. What they were judged by is said beside them; where
nothing is said it is common practice, no source.
"""

from decimal import Decimal
from typing import Literal

from studio.making.equipment import Filament, Printer
from studio.pricing.example_lighting import example_lighting
from studio.pricing.rate_book import Bought, Carrier, Deposit, Operation, Per, RateBook, TaxCategory

__all__ = ["example_rate_book"]

Stage = Literal["before", "making", "after", "site"]
Group = Literal["panel", "light", "backing", "delivery", "hanging"]

ROLES = {"designer": Decimal(36), "maker": Decimal(28), "installer": Decimal(30)}
"""An hour that somebody pays for. Reckoned as pay of 20.00, 15.50 and 16.50 an hour (invented) x 1.15 for the
employer's contributions and pension x 52/44 weeks for leave and illness, ÷ 0.75, the share of a working week
that jobs pay for: 36.2, 28.1 and 29.9."""
OVERHEAD = Decimal(11)
"""An hour's share of what jobs pay for together. Reckoned a year (sums invented): rent of 60 m² 10,800,
rates, heat and light 3,600, insurance 1,600, tools and repairs 2,400, software, accounts and telephone 3,000,
samples and showing work 3,600, the van's standing costs 2,500; 27,500 over 2 people x 44 weeks x 37.5 h x
0.75 = 2,475 h is 11.11."""
DAY_WEIGHT = Decimal(8)
"""What a working day sooner is worth. The overhead of a day, 77, is paid whichever panel is made on it, and
a panel in smaller sections takes no fewer hours, so that the next one is not made sooner. What is left was
reckoned (sums invented): one client in twenty goes elsewhere for a week, a margin of 700 ÷ 20 ÷ 5 days is 7;
2,000 that come a day later, at 8 % a year, are 0.44."""
MINIMUM_CHARGE = Decimal(300)
"""About a day of a maker with its overhead: 7.5 x 39 is 292.50."""

# code, text, role, minutes, per, people, stage
OPERATIONS: tuple[tuple[str, str, str, str | None, Per, int, Stage], ...] = (
    ("survey", "Survey and measuring", "designer", "60", "survey", 1, "before"),
    ("survey-travel", "Travel to the survey", "designer", "1.5", "survey kilometre", 1, "before"),
    (
        "measurements",
        "Going through the client’s measurements",
        "designer",
        "20",
        "measurements sent",
        1,
        "before",
    ),
    ("design", "Design and drawings", "designer", "100", "commission", 1, "before"),
    ("samples", "Colour samples", "maker", "8", "colour", 1, "before"),
    ("swap-plate", "Swapping plates", "maker", None, "plate", 1, "making"),
    ("change-filament", "Changing filament", "maker", "3", "filament change", 1, "making"),
    ("clean-infill", "Cleaning infills", "maker", "0.08", "infill", 1, "making"),
    ("sort-infill", "Sorting infills", "maker", "0.04", "infill", 1, "making"),
    ("place-infill", "Placing infills", "maker", "0.15", "infill", 1, "making"),
    ("glue-infill", "Gluing infills that only touch", "maker", "0.1", "glued infill", 1, "making"),
    ("clean-section", "Cleaning sections", "maker", "3", "section", 1, "making"),
    ("seam", "Gluing seams, with keys where strips cross", "maker", "0.7", "seam key", 1, "making"),
    ("edging", "Fitting the edging", "maker", "8", "edged module", 1, "making"),
    ("trial-assembly", "Trial assembly", "maker", "25", "square metre", 1, "making"),
    ("back-panel", "Cutting and fitting the backing", "maker", "25", "backed panel", 1, "making"),
    ("fit-hanger", "Fitting hangers", "maker", "3", "hanger", 1, "making"),
    ("wire", "Wiring and testing the light", "maker", "35", "lit panel", 1, "making"),
    ("lay-light", "Laying light strip", "maker", "6", "light metre", 1, "making"),
    ("feed", "Connecting a feed", "maker", "6", "feed", 1, "making"),
    ("rework", "Rework", "maker", "30", "commission", 1, "making"),
    ("pack", "Packing", "maker", "20", "module", 1, "after"),
    ("load", "Loading and carrying in", "maker", "25", "delivery", 1, "site"),
    ("travel", "Travel, two people", "installer", "1.5", "kilometre", 2, "site"),
    ("install", "Hanging the panel", "installer", "60", "hanging", 2, "site"),
    ("join-on-site", "Joining modules on site", "installer", "10", "site joint", 2, "site"),
    ("hand-over", "Hand-over and care sheet", "designer", "20", "commission", 1, "after"),
)

LEAD_DAYS = {"sheet": 5, "diffuser": 7}
"""Boards are cut to size; everything else but light parts lies in the studio. Our own judgement."""
SPOOL_DAYS = 3

# code, text, price, unit, quantity, per, whole units, grams on the panel, group
BOUGHT: tuple[tuple[str, str, str, str, str, Per, bool, float, Group], ...] = (
    (
        "sheet",
        "Backing sheet, 3 mm board",
        "14.00",
        "m²",
        "1.1",
        "sheet square metre",
        False,
        2500,
        "backing",
    ),
    (
        "diffuser",
        "Diffuser, 3 mm opal",
        "38.00",
        "m²",
        "1.1",
        "diffuser square metre",
        False,
        3570,
        "backing",
    ),
    ("hanger", "Metal hanger with screws", "1.80", "each", "1", "hanger", True, 45, "panel"),
    ("fixing", "Wall fixing", "0.90", "each", "1", "hanger", True, 0, "panel"),
    ("glue", "Glue and cleaner", "2.40", "bottle", "0.02", "seam key", True, 0, "panel"),
    ("cleat", "Cleat set", "3.20", "each", "1", "site joint", True, 60, "panel"),
    ("packing", "Packing board and corners", "8.50", "set", "1", "module", True, 0, "panel"),
    ("survey-vehicle", "Vehicle to the survey", "0.45", "km", "1", "survey kilometre", False, 0, "panel"),
    ("vehicle", "Vehicle", "0.45", "km", "1", "kilometre", False, 0, "delivery"),
    ("site-protection", "Dust sheets and filler", "4.00", "set", "1", "hanging", True, 0, "hanging"),
)


CARRIER = (
    ("Small parcel", 1200, 10_000, "16.00"),
    ("Large parcel", 1600, 25_000, "29.00"),
    ("Pallet", 2400, 200_000, "95.00"),
)


def example_operations() -> tuple[Operation, ...]:
    """Labour from survey to hand-over, with rework."""
    return tuple(
        Operation(
            code=code,
            text=text,
            role=role,
            minutes=None if minutes is None else Decimal(minutes),
            per=per,
            people=people,
            stage=stage,
        )
        for code, text, role, minutes, per, people, stage in OPERATIONS
    )


def example_bought() -> tuple[Bought, ...]:
    """Bought-in things; sheets with a tenth for offcuts."""
    return tuple(
        Bought(
            code=code,
            text=text,
            price=Decimal(price),
            unit=unit,
            quantity=Decimal(quantity),
            per=per,
            whole=whole,
            mass_g=mass_g,
            group=group,
            lead_days=LEAD_DAYS.get(code, 0),
        )
        for code, text, price, unit, quantity, per, whole, mass_g, group in BOUGHT
    )


COLOURS = (
    ("Tea", "#b98a5a", "21.50"),
    ("Indigo", "#2f3f78", "22.00"),
    ("Chalk", "#ece8df", "20.50"),
    ("Walnut", "#5b4032", "23.50"),
    ("Moss", "#6b7a45", "22.00"),
    ("Persimmon", "#d9652b", "22.00"),
    ("Charcoal", "#35363a", "20.50"),
    ("Sand", "#d6c19c", "21.50"),
)


def example_rate_book() -> RateBook:
    """Prices without tax; margin of 35 % of the price, 1.5 % card fees, 10 % where somebody referred the
    client."""
    return RateBook(
        currency="GBP",
        filaments=tuple(
            Filament(name=name, colour=colour, price_per_spool=Decimal(price), lead_days=SPOOL_DAYS)
            for name, colour, price in COLOURS
        ),
        printers=_printers(),
        roles=ROLES,
        operations=example_operations(),
        bought=example_bought(),
        carrier=tuple(
            Carrier(text=text, up_to_mm=mm, up_to_g=grams, price=Decimal(price))
            for text, mm, grams, price in CARRIER
        ),
        lighting=example_lighting(),
        overhead_per_hour=OVERHEAD,
        day_weight=DAY_WEIGHT,
        referral_percent=Decimal(10),
        card_percent=Decimal("1.5"),
        minimum_charge=MINIMUM_CHARGE,
        tax=(
            TaxCategory(code="standard", text="VAT, standard rate", percent=Decimal(20)),
            TaxCategory(code="zero", text="Outside VAT", percent=Decimal(0)),
        ),
        deposits=(
            Deposit(text="With the order", percent=Decimal(50)),
            Deposit(text="Before delivery", percent=Decimal(40)),
            Deposit(text="At hand-over", percent=Decimal(10)),
        ),
    )


def _printers() -> tuple[Printer, ...]:
    return (
        Printer(name="Small bed", count=3),
        Printer(
            name="Large bed",
            bed_width_mm=350,
            bed_depth_mm=350,
            height_mm=350,
            heat_up_minutes=9,
            power_w=260,
            purchase=Decimal(1900),
            scrap_value=Decimal(100),
            upkeep_per_hour=Decimal("0.18"),
        ),
    )
