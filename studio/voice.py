"""Figures as people read them: one manner for page, drawing, PDF, client's page, letter and message.

A text of the pure line does not know for whom it is spoken. It is a `Said`: as a str the metric English form,
and its figures can be spoken anew by any `Voice`.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date, datetime
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_UP, Decimal
from fractions import Fraction
from math import gcd
from operator import methodcaller
from typing import Any, Literal

from babel import Locale
from babel.dates import format_date, format_skeleton, format_time
from babel.localedata import exists
from babel.numbers import format_currency, format_decimal

from studio.memo import memo
from studio.money import from_minor, minor_digits, round_money

__all__ = [
    "MILE_KM", "PLAIN", "Number", "Said", "Units", "Voice",
    "at_least", "at_most", "count", "day", "distance", "length", "load", "mass", "number", "said",
]  # fmt: skip

Units = Literal["metric", "imperial"]
Number = int | float | Decimal | str
INCH_MM, POUND_G, MILE_KM = Decimal("25.4"), Decimal("453.59237"), Decimal("1.609344")
"""The international inch, pound and mile (agreement of 1959, from memory)."""
SIXTEENTHS = 16
FINE_MM, TRUE_MM = Decimal("12.7"), Decimal("0.006")
"""Shorter lengths are told in thousandths of an inch, but for true sixteenths, rounded to 0.01 mm."""
LONGEST_SHOWN_DECIMALS = 5
LEGIBLE = {0xFFE5: "¥", 0x202F: "\u00a0"}
"""Signs that our fonts lack, and the same ones in the width that they have."""


@dataclass(frozen=True, slots=True)
class Voice:
    """How a studio writes. `locale` is a language and country as Babel knows them ("en_GB" or "en-GB"), for
    the manner of figures only: words are English, those of months and weekdays too. A method takes what its
    name says, in the unit that its parameter is named after. Raises babel.UnknownLocaleError or ValueError
    for a locale that does not exist."""

    locale: str = "en_GB"
    units: Units = "metric"
    currency: str = "GBP"

    def using(self, currency: str) -> "Voice":
        return replace(self, currency=currency)

    def number(self, value: Number, places: int = 0) -> str:
        """With exactly so many decimals, halves up."""
        return self._decimal(_rounded(value, places), f"#,##0.{'0' * places}" if places else "#,##0")

    def quantity(self, value: Number, most: int = 2) -> str:
        """With so many decimals at most, none where they say nothing."""
        return self._decimal(_rounded(value, most), f"#,##0.{'#' * most}" if most else "#,##0")

    def count(self, number: int, noun: str, plural: str = "") -> str:
        """As in "1 piece", "6,970 pieces"; "column of cells" becomes "columns of cells"."""
        return f"{self.number(number)} {noun if number == 1 else plural or _plural(noun)}"

    def percent(self, value: Number, most: int = 2) -> str:
        return f"{self.quantity(value, most)}\u00a0%"

    def odds(self, percent: int) -> str:
        """Such as "9 of 10", "85 of 100"."""
        share = Fraction(percent, 10)
        return f"{share} of 10" if share.denominator == 1 else f"{percent} of 100"

    def figure(self, mm: Number, places: int = 1, rounding: str = ROUND_HALF_UP) -> str:
        """As lettered on a drawing, where the unit of metric sizes is stated once: "1181.3", `46 1/2"`."""
        exact = _rounded(mm, 6)  # no more than that is known of a float
        if self.units == "imperial":
            return self._inches(exact, rounding)
        return self._decimal(_rounded(exact, places, rounding), f"0.{'#' * places}")

    def length(self, mm: Number, places: int = 1, rounding: str = ROUND_HALF_UP) -> str:
        """Within running text. Never grouped, as on a drawing."""
        return self.figure(mm, places, rounding) + ("" if self.units == "imperial" else " mm")

    @property
    def length_unit(self) -> str:
        return "inches" if self.units == "imperial" else "mm"

    def mass(self, grams: Number, places: int = 1) -> str:
        """Of a panel or a part of it; filament is weighed in grams by everybody."""
        value, unit = self._heavy(grams)
        return f"{self.quantity(value, places)} {unit}"

    def load(self, grams: Number) -> str:
        """Up to the next tenth, so that a hanger bought by the figure holds it."""
        value, unit = self._heavy(_rounded(grams, 2))
        return f"{self.quantity(value.quantize(Decimal('0.1'), ROUND_CEILING), 1)} {unit}"

    def distance(self, km: Number) -> str:
        miles = self.units == "imperial"
        return f"{self.quantity(_decimal(km) / MILE_KM if miles else km, 1)} {self.distance_unit}"

    @property
    def distance_unit(self) -> str:
        return "mi" if self.units == "imperial" else "km"

    def money(self, amount: Number) -> str:
        """With the currency's own number of decimals. Spaces in it may be U+00A0."""
        # Babel would round halves to even; amounts are rounded up everywhere else
        rounded = round_money(_decimal(amount), self.currency)
        return format_currency(rounded, self.currency, locale=_babel(self.locale)).translate(LEGIBLE)

    def minor(self, units: int | None) -> str:
        return "no price" if units is None else self.money(from_minor(units, self.currency))

    def difference(self, amount: Decimal) -> str:
        """With its sign: "+£45.00", "−£45.00"."""
        return f"{'+' if amount > 0 else '−'}{self.money(abs(amount))}"

    def rate(self, amount: Number) -> str:
        """Money finer than the currency's smallest amount, without its name."""
        digits = minor_digits(self.currency)
        pattern = f"#,##0.{'0' * digits}{'#' * (LONGEST_SHOWN_DECIMALS - 1 - digits)}"
        return self._decimal(_decimal(amount), pattern)

    def input(self, value: str) -> str:
        """What went into a working, stored as "380 g" or "24.5 GBP"; words stay as they are. Its unit is that
        of the rate it is multiplied by."""
        figure, _, unit = value.partition(" ")
        if not figure.lstrip("-").replace(".", "", 1).isdecimal():
            return value
        return f"{self.number(figure, len(figure.partition('.')[2]))} {unit}".rstrip()

    def day(self, day: date | str) -> str:
        """Such as "5 March 2026"."""
        return format_date(_date(day), "long", locale=_english(self.locale))

    def short_day(self, day: date) -> str:
        """Such as "5 Mar 2026"."""
        return format_date(day, "medium", locale=_english(self.locale))

    def month_day(self, day: date) -> str:
        """Such as "5 March"."""
        return format_skeleton("MMMMd", day, locale=_english(self.locale))

    def weekday(self, day: date) -> str:
        """Such as "Thu, 5 Mar 2026"."""
        return format_skeleton("yMMMEd", day, locale=_english(self.locale))

    def moment(self, at: datetime) -> str:
        """Where `at` is, "5 March 2026, 15:04"."""
        return f"{self.day(at.date())}, {format_time(at.time(), 'short', locale=_english(self.locale))}"

    def hours(self, minutes: Number, places: int = 1) -> str:
        return f"{self.number(_decimal(minutes) / 60, places)} h"

    def say(self, text: str) -> str:
        """A `Said` with its figures in this manner; any other text as it is."""
        return text.template.format(*map(self._part, text.parts)) if isinstance(text, Said) else text

    def _part(self, part: Any) -> str:
        if callable(part):
            return str(part(self))
        return self.say(part) if isinstance(part, str) else self.quantity(part)

    def _decimal(self, value: Decimal, pattern: str) -> str:
        return format_decimal(value, pattern, locale=_babel(self.locale)).translate(LEGIBLE)

    def _heavy(self, grams: Number) -> tuple[Decimal, str]:
        return (
            (_decimal(grams) / POUND_G, "lb") if self.units == "imperial" else (_decimal(grams) / 1000, "kg")
        )

    def _inches(self, mm: Decimal, rounding: str) -> str:
        """In sixteenths; short ones that are none in thousandths."""
        sixteenths = int(_rounded(mm * SIXTEENTHS / INCH_MM, 0, rounding))
        if abs(mm) < FINE_MM and abs(mm - sixteenths * INCH_MM / SIXTEENTHS) > TRUE_MM:
            return self._decimal(_rounded(mm / INCH_MM, 3, rounding), "0.###") + '"'
        whole, part = divmod(abs(sixteenths), SIXTEENTHS)
        common = gcd(part, SIXTEENTHS)
        fraction = f"{part // common}/{SIXTEENTHS // common}" if part else ""
        shown = " ".join(filter(None, (str(whole) if whole or not part else "", fraction)))
        return f'{"-" if sixteenths < 0 else ""}{shown}"'


class Said(str):
    """A text with figures in it. As a str it is spoken in PLAIN, so that the command line, a log or a test
    reads it as any other text; what an f-string makes of it has lost its figures. A part is a function of a
    Voice, a number, or a text, which may be a Said itself."""

    template: str
    parts: tuple[Any, ...]

    def __new__(cls, template: str, *parts: Any, plain: str = "") -> "Said":
        """`plain` where documents hold the text in a form of its own."""
        made = super().__new__(cls, plain or template.format(*map(PLAIN._part, parts)))
        made.template, made.parts = template, parts
        return made

    def __getnewargs_ex__(self) -> tuple[tuple[Any, ...], dict[str, str]]:
        return (self.template, *self.parts), {"plain": str(self)}


PLAIN = Voice()
said = Said
Spoken = Callable[[Voice], str]


def number(value: Number, places: int = 2) -> Spoken:
    return methodcaller("quantity", value, places)


def count(number: int, noun: str, plural: str = "") -> Spoken:
    return methodcaller("count", number, noun, plural)


def day(day: date) -> Spoken:
    return methodcaller("day", day)


def length(mm: Number, places: int = 2) -> Spoken:
    return methodcaller("length", mm, places)


def at_least(mm: Number, places: int = 2) -> Spoken:
    """A length that is enough when it is taken by its figure."""
    return methodcaller("length", mm, places, ROUND_CEILING)


def at_most(mm: Number, places: int = 2) -> Spoken:
    """A length that is not too much when it is taken by its figure."""
    return methodcaller("length", mm, places, ROUND_FLOOR)


def mass(grams: Number, places: int = 1) -> Spoken:
    return methodcaller("mass", grams, places)


def load(grams: Number) -> Spoken:
    return methodcaller("load", grams)


def distance(km: Number) -> Spoken:
    return methodcaller("distance", km)


@memo
def _babel(locale: str) -> Locale:
    return Locale.parse(locale.replace("-", "_"))


@memo
def _english(locale: str) -> Locale:
    """English as that country writes it, where there is such a thing."""
    spoken = f"en_{_babel(locale).territory}"
    return Locale.parse(spoken if exists(spoken) else "en_GB")


def _decimal(value: Number) -> Decimal:
    return value if isinstance(value, Decimal) else Decimal(str(value))


def _rounded(value: Number, places: int, rounding: str = ROUND_HALF_UP) -> Decimal:
    return _decimal(value).quantize(Decimal(1).scaleb(-places), rounding)


def _date(day: date | str) -> date:
    return date.fromisoformat(day) if isinstance(day, str) else day


def _plural(noun: str) -> str:
    """Of its first word where more follows with "of"."""
    head, of, rest = noun.partition(" of ")
    return f"{head}{'es' if head.endswith('x') else 's'}{of}{rest}"
