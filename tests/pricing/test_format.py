"""Formatted amounts, compared with Babel at run time: spaces change between releases of the Unicode CLDR."""

from decimal import Decimal

import pytest
from babel.core import UnknownLocaleError
from babel.numbers import format_currency, get_currency_symbol, get_decimal_symbol, get_group_symbol

from studio.pricing.format import format_money

AMOUNT = Decimal("1234567.89")


@pytest.mark.parametrize(
    ("locale", "currency"),
    [("en_US", "USD"), ("de_DE", "EUR"), ("fr_FR", "EUR"), ("ja_JP", "JPY"), ("de_CH", "CHF")],
)
def test_the_same_as_babel(locale: str, currency: str) -> None:
    assert format_money(AMOUNT, currency, locale) == format_currency(AMOUNT, currency, locale=locale)
    assert format_money(AMOUNT, currency, locale.replace("_", "-")) == format_money(AMOUNT, currency, locale)


@pytest.mark.parametrize("locale", ["en_GB", "de_DE", "fr_FR", "de_CH"])
def test_digits_are_grouped_and_marked_as_the_locale_does(locale: str) -> None:
    group, mark = get_group_symbol(locale), get_decimal_symbol(locale)
    assert f"1{group}234{group}567{mark}89" in format_money(AMOUNT, "EUR", locale)


def test_a_currency_without_minor_unit_shows_none() -> None:
    """ISO 4217 gives the yen no minor unit, the Kuwaiti dinar three digits."""
    assert format_money(Decimal("1234.5"), "JPY", "en_GB") == get_currency_symbol("JPY", "en_GB") + "1,235"
    assert format_money(Decimal("1.5"), "KWD", "en_GB").endswith("1.500")


def test_a_half_is_formatted_upwards_like_the_amounts() -> None:
    assert format_money(Decimal("0.125"), "GBP", "en_GB") == "£0.13"


def test_an_unknown_locale_is_an_error() -> None:
    with pytest.raises(UnknownLocaleError):
        format_money(AMOUNT, "EUR", "xx-XX")
