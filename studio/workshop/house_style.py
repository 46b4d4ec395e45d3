"""Numbers, dates and money in the studio's own manner."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from babel.dates import format_date
from babel.numbers import format_decimal

from studio.pricing.format import format_money
from studio.pricing.money import from_minor
from studio.workshop.models import Studio

__all__ = ["HouseStyle", "house_style"]


@dataclass(frozen=True)
class HouseStyle:
    """`locale` as Babel knows it ("en_GB")."""

    locale: str
    currency: str

    def money(self, amount: Decimal) -> str:
        return format_money(amount, self.currency, self.locale)

    def minor(self, units: int | None) -> str:
        return "no price" if units is None else self.money(from_minor(units, self.currency))

    def difference(self, amount: Decimal) -> str:
        """With its sign: "+£45.00", "−£45.00"."""
        return f"{'+' if amount > 0 else '−'}{self.money(abs(amount))}"

    def number(self, value: float | Decimal, places: int = 0) -> str:
        return format_decimal(value, f"#,##0.{'0' * places}" if places else "#,##0", locale=self.locale)

    def quantity(self, value: Decimal) -> str:
        """At most two decimals, none where they say nothing."""
        return format_decimal(value, "#,##0.##", locale=self.locale)

    def day(self, day: date) -> str:
        return format_date(day, "EEE d MMM y", locale=self.locale)

    def hours(self, minutes: float | Decimal) -> str:
        return f"{self.number(float(minutes) / 60, 1)} h"


def house_style(studio: Studio, currency: str) -> HouseStyle:
    return HouseStyle(studio.locale.replace("-", "_"), currency)
