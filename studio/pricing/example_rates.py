"""An example rate book: a studio of two people, in pounds. All rates are invented.

They are of a size that such a studio would recognise (common practice, no source), and every working calls
them example rates until the studio sets its own.
"""

from decimal import Decimal

from studio.making.equipment import Filament, Printer
from studio.pricing.example_operations import example_bought, example_operations
from studio.pricing.rate_book import Deposit, RateBook, TaxCategory

__all__ = ["example_rate_book"]

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
            Filament(name=name, colour=colour, price_per_spool=Decimal(price))
            for name, colour, price in COLOURS
        ),
        printers=_printers(),
        roles={"designer": Decimal(24), "maker": Decimal(18), "installer": Decimal(22)},
        operations=example_operations(),
        bought=example_bought(),
        referral_percent=Decimal(10),
        card_percent=Decimal("1.5"),
        minimum_charge=Decimal(240),
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
