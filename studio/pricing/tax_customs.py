"""What is usual about tax where a studio is: its first answer, which the studio may change."""

from babel import Locale

__all__ = ["before_tax", "due_with_payments"]

EU = frozenset((
    "AT", "BE", "BG", "CY", "CZ", "DE", "DK", "EE", "ES", "FI", "FR", "GR", "HR", "HU", "IE", "IT", "LT",
    "LU", "LV", "MT", "NL", "PL", "PT", "RO", "SE", "SI", "SK",
))  # fmt: skip
POINTS = EU | {"GB"}
"""Where a payment on account is a tax point. Council Directive 2006/112/EC, Article 65: "Where a payment is
to be made on account before the goods or services are supplied, VAT shall become chargeable on receipt of the
payment and on the amount received." HMRC, VAT guide (Notice 700), the section on tax points: a payment that
is received before the basic tax point makes a tax point. Both from memory."""
BEFORE = frozenset(("CA", "US"))
"""Where consumers read prices to which tax is added at the end; common practice, no source."""


def due_with_payments(said: bool | None, locale: str) -> bool:
    """Whether tax is due with each payment: as the studio says (`RateBook.deposit_is_tax_point`), or as is
    usual in the country of its `locale`, such as en_GB."""
    return _country(locale) in POINTS if said is None else said


def before_tax(locale: str) -> bool:
    """Whether prices are named before tax to everybody."""
    return _country(locale) in BEFORE


def _country(locale: str) -> str:
    return Locale.parse(locale.replace("-", "_")).territory or ""
