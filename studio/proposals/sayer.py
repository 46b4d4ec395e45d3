"""Figures as texts in an issue's language, currency and units."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from babel.dates import format_date
from babel.numbers import format_decimal

from studio.drawing.figures import Units, size_text
from studio.pricing.format import format_money
from studio.pricing.money import minor_digits

__all__ = ["Sayer"]


@dataclass(frozen=True, slots=True)
class Sayer:
    locale: str
    currency: str
    units: Units

    def money(self, amount: str) -> str:
        return format_money(Decimal(amount), self.currency, self.locale)

    def day(self, iso: str) -> str:
        return format_date(date.fromisoformat(iso), "long", locale=self.locale.replace("-", "_"))

    def number(self, value: int | Decimal) -> str:
        return format_decimal(value, locale=self.locale.replace("-", "_"))

    def exact(self, value: str) -> str:
        """With every decimal that says something."""
        return format_decimal(Decimal(value), "#,##0.#####", locale=self.locale.replace("-", "_"))

    def rate(self, amount: str) -> str:
        """Money finer than the currency's smallest amount, without its name."""
        digits = minor_digits(self.currency)
        pattern = f"#,##0.{'0' * digits}{'#' * (4 - digits)}"
        return format_decimal(Decimal(amount), pattern, locale=self.locale.replace("-", "_"))

    def percent(self, percent: str) -> str:
        return f"{self.number(Decimal(percent))}\u00a0%"

    def size(self, millimetres: float) -> str:
        return size_text(millimetres, self.units)

    def mass(self, grams: float) -> str:
        if self.units == "imperial":
            return f"{self.number(round(Decimal(str(grams)) / Decimal('453.59237'), 1))} lb"
        return f"{self.number(round(Decimal(str(grams)) / 1000, 1))} kg"
