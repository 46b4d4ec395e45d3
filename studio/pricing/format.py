"""Money as people read it."""

from decimal import Decimal

from babel import Locale
from babel.numbers import format_currency

from studio.pricing.money import round_money

__all__ = ["format_money"]


def format_money(amount: Decimal, currency: str, locale: str) -> str:
    """`amount` in the manner of `locale` ("en-GB" or "en_GB"), with the currency's own number of decimals.

    Spaces in it may be U+00A0 or U+202F. Raises babel.UnknownLocaleError or ValueError for a locale that
    does not exist.
    """
    # Babel would round halves to even; amounts are rounded up everywhere else
    rounded = round_money(amount, currency)
    return format_currency(rounded, currency, locale=Locale.parse(locale.replace("-", "_")))
