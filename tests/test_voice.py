"""One manner for every figure, by hand and against Babel: spaces change between releases of the CLDR."""

import pickle
from copy import deepcopy
from datetime import UTC, date, datetime
from decimal import Decimal

import pytest
from babel.core import UnknownLocaleError
from babel.numbers import format_currency, get_currency_symbol, get_decimal_symbol, get_group_symbol
from hypothesis import given
from hypothesis import strategies as st

from studio.document import canonical
from studio.lattice.length import parse_length
from studio.voice import (
    LEGIBLE,
    PLAIN,
    Voice,
    at_least,
    at_most,
    count,
    distance,
    length,
    load,
    mass,
    number,
    said,
)

AMOUNT = Decimal("1234567.89")
DAY = date(2026, 3, 5)
AMERICAN = Voice("en_US", "imperial", "USD")
GERMAN = Voice("de_DE", "metric", "EUR")
JAPANESE = Voice("ja-JP", "metric", "JPY")


@pytest.mark.parametrize(
    ("size_mm", "metric", "imperial"),
    [
        (1181.2896, "1181.3", '46 1/2"'), (748.0, "748", '29 7/16"'), (25.4, "25.4", '1"'), (0.0, "0", '0"'),
        (12.7, "12.7", '1/2"'), (1205.05, "1205.1", '47 7/16"'), (3.175, "3.2", '1/8"'), (25.3, "25.3", '1"'),
        (9, "9", '0.354"'), (0.45, "0.5", '0.018"'), (-4, "-4", '-0.157"'), (-38.1, "-38.1", '-1 1/2"'),
    ],
)  # fmt: skip
def test_figures_by_hand(size_mm: float, metric: str, imperial: str) -> None:
    assert (PLAIN.figure(size_mm), AMERICAN.figure(size_mm)) == (metric, imperial)


@given(st.floats(0, 20_000))
def test_a_figure_is_never_further_off_than_half_its_step(size_mm: float) -> None:
    assert abs(float(PLAIN.figure(size_mm)) - size_mm) <= 0.05 + 1e-9
    whole, _, part = AMERICAN.figure(size_mm).rstrip('"').rpartition(" ")
    top, _, bottom = part.partition("/")
    inches = float(whole or 0) + float(top) / float(bottom or 1)
    assert abs(inches * 25.4 - size_mm) <= (25.4 / 32 if size_mm >= 12.7 else 0.05) + 1e-9


@given(st.decimals("0.2", "19999", places=2), st.sampled_from([PLAIN, AMERICAN, GERMAN]))
def test_a_bound_that_is_taken_by_its_figure_holds(mm: Decimal, voice: Voice) -> None:
    low, high = (parse_length(voice.say(said("{}", bound(mm)))).mm for bound in (at_most, at_least))
    assert low <= mm <= high
    assert high - low <= Decimal("25.4") / 16 + Decimal("0.01")


def test_running_text_carries_the_unit() -> None:
    assert (PLAIN.length(44), AMERICAN.length(44.45), GERMAN.length(1181.3)) == (
        "44 mm",
        '1 3/4"',
        "1181,3 mm",
    )
    assert (PLAIN.length(0.45, 2), PLAIN.length_unit, AMERICAN.length_unit) == ("0.45 mm", "mm", "inches")


def test_numbers_counts_and_plurals() -> None:
    assert (PLAIN.count(1, "piece"), PLAIN.count(6970, "piece"), GERMAN.count(6970, "piece")) == (
        "1 piece", "6,970 pieces", "6.970 pieces",
    )  # fmt: skip
    assert (PLAIN.count(2, "row of cells"), PLAIN.count(2, "box"), PLAIN.count(0, "leaf", "leaves")) == (
        "2 rows of cells", "2 boxes", "0 leaves",
    )  # fmt: skip
    assert (PLAIN.number(2.5), PLAIN.number(1.005, 2), PLAIN.quantity(12.50), GERMAN.quantity(12.345)) == (
        "3", "1.01", "12.5", "12,35",
    )  # fmt: skip
    assert (PLAIN.percent(20), GERMAN.percent("7.5")) == ("20\u00a0%", "7,5\u00a0%")


def test_masses_loads_and_distances() -> None:
    assert (PLAIN.mass(12_070), AMERICAN.mass(12_070), GERMAN.mass(1230, 2)) == (
        "12.1 kg",
        "26.6 lb",
        "1,23 kg",
    )
    assert (PLAIN.load(12_001), PLAIN.load(12_000), AMERICAN.load(453.6)) == ("12.1 kg", "12 kg", "1.1 lb")
    assert (PLAIN.distance(Decimal(35)), AMERICAN.distance(35)) == ("35 km", "21.7 mi")


def test_days_and_hours() -> None:
    assert (PLAIN.day("2026-03-05"), AMERICAN.day(DAY)) == ("5 March 2026", "March 5, 2026")
    assert (PLAIN.weekday(DAY), PLAIN.month_day(DAY), AMERICAN.month_day(DAY)) == (
        "Thu, 5 Mar 2026", "5 March", "March 5",
    )  # fmt: skip
    at = datetime(2026, 3, 5, 15, 4, tzinfo=UTC)
    assert (PLAIN.moment(at), JAPANESE.moment(at)) == 2 * ("5 March 2026, 15:04",)
    assert (GERMAN.weekday(DAY), AMERICAN.moment(at)[-7:]) == ("Thu, 5 Mar 2026", "3:04\u202fPM")
    assert (PLAIN.hours(90), GERMAN.hours(Decimal(90))) == ("1.5 h", "1,5 h")


@pytest.mark.parametrize(
    ("locale", "currency"),
    [("en_US", "USD"), ("de_DE", "EUR"), ("fr_FR", "EUR"), ("ja_JP", "JPY"), ("de_CH", "CHF")],
)
def test_money_is_as_babel_has_it(locale: str, currency: str) -> None:
    shown = Voice(locale, "metric", currency).money(AMOUNT)
    assert shown == format_currency(AMOUNT, currency, locale=locale).translate(LEGIBLE)
    assert Voice(locale.replace("_", "-"), "metric", currency).money(AMOUNT) == shown


@pytest.mark.parametrize("locale", ["en_GB", "de_DE", "fr_FR", "de_CH"])
def test_digits_are_grouped_and_marked_as_the_locale_does(locale: str) -> None:
    group, mark = get_group_symbol(locale), get_decimal_symbol(locale)
    assert f"1{group}234{group}567{mark}89".translate(LEGIBLE) in Voice(locale, "metric", "EUR").money(AMOUNT)


def test_a_currency_without_minor_unit_shows_none() -> None:
    """ISO 4217 gives the yen no minor unit, the Kuwaiti dinar three digits."""
    assert PLAIN.using("JPY").money(Decimal("1234.5")) == get_currency_symbol("JPY", "en_GB") + "1,235"
    assert PLAIN.using("KWD").money(Decimal("1.5")).endswith("1.500")


def test_a_half_is_spoken_upwards_like_the_amounts() -> None:
    assert (PLAIN.money(Decimal("0.125")), PLAIN.minor(4500), PLAIN.minor(None)) == (
        "£0.13",
        "£45.00",
        "no price",
    )
    assert (PLAIN.difference(Decimal(45)), PLAIN.difference(Decimal(-45))) == ("+£45.00", "−£45.00")
    assert (PLAIN.rate("0.4071"), JAPANESE.rate("12.5")) == ("0.4071", "12.5")


def test_an_unknown_locale_is_an_error() -> None:
    with pytest.raises(UnknownLocaleError):
        Voice("xx-XX", "metric", "EUR").money(AMOUNT)


@pytest.mark.parametrize(
    ("stored", "spoken"),
    [
        ("1234.5 g", "1.234,5 g"),
        ("-3", "-3"),
        ("as agreed", "as agreed"),
        ("24.505 GBP", "24,505 GBP"),
        ("", ""),
    ],
)
def test_what_went_into_a_working(stored: str, spoken: str) -> None:
    assert GERMAN.input(stored) == spoken


def test_a_text_of_the_line_is_spoken_anew() -> None:
    text = said("leave {} more for {}, {} away, {} of {}", length(0.45), count(6970, "piece"), distance(35),
                mass(12_070), "“4 mm”")  # fmt: skip
    assert text == "leave 0.45 mm more for 6,970 pieces, 35 km away, 12.1 kg of “4 mm”"
    assert AMERICAN.say(text) == 'leave 0.018" more for 6,970 pieces, 21.7 mi away, 26.6 lb of “4 mm”'
    assert GERMAN.say(text) == "leave 0,45 mm more for 6.970 pieces, 35 km away, 12,1 kg of “4 mm”"
    assert GERMAN.say("12.5 mm as typed") == "12.5 mm as typed"


def test_a_text_within_a_text_is_spoken_too() -> None:
    inner = said("holds {} at {}", load(12_001), number(0.0125, 4))
    outer = said("option {} has no price: {} ({})", "A", inner, 1234.5)
    assert outer == "option A has no price: holds 12.1 kg at 0.0125 (1,234.5)"
    assert GERMAN.say(outer) == "option A has no price: holds 12,1 kg at 0,0125 (1.234,5)"


def test_a_text_keeps_its_figures_through_copies_and_is_stored_plain() -> None:
    text = said("{} deep", length(12))
    for copied in (deepcopy(text), pickle.loads(pickle.dumps(text))):
        assert (copied, AMERICAN.say(copied)) == ("12 mm deep", '0.472" deep')
    assert canonical({"text": text}) == b'{"text":"12 mm deep"}'
