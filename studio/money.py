"""Amounts of money: Decimal in the major unit, rounded once, halves up; integer minor units at rest."""

from collections.abc import Sequence
from decimal import ROUND_HALF_UP, Decimal
from math import lcm

from babel.core import get_global
from babel.numbers import get_currency_precision

from studio.memo import memo

__all__ = [
    "from_minor", "known_currency", "minor_digits", "minor_unit", "percent_of", "round_money", "split",
    "to_minor",
]  # fmt: skip


@memo
def _in_use() -> frozenset[str]:
    """ISO 4217 codes that some territory uses today (Unicode CLDR, as shipped in Babel).

    "ZZ" is no territory (CLDR keeps metals and test codes there), and X three times means "no currency".
    """
    places = get_global("territory_currencies").items()
    codes = (
        code for place, history in places if place != "ZZ" for code, _, until, _ in history if until is None
    )
    return frozenset(codes) - {3 * "X"}


def known_currency(currency: str) -> bool:
    """Whether `currency` is the code of a currency in use; old ones (DEM) and test codes (XTS) are not."""
    return currency in _in_use()


@memo
def minor_digits(currency: str) -> int:
    """Decimals of the currency: 0 for JPY, 2 for GBP, 3 for KWD (Unicode CLDR, as shipped in Babel)."""
    return get_currency_precision(currency)


@memo
def minor_unit(currency: str) -> Decimal:
    """The smallest amount: 0.01 for GBP, 1 for JPY."""
    return Decimal(1).scaleb(-minor_digits(currency))


def round_money(amount: Decimal, currency: str) -> Decimal:
    """`amount` to the minor unit, halves away from zero (ROUND_HALF_UP); never a negative zero."""
    return amount.quantize(minor_unit(currency), ROUND_HALF_UP) + 0


def percent_of(part: Decimal, whole: Decimal) -> Decimal:
    """`part` of `whole` in per cent to 0.01; 0 where there is no price at all."""
    if not whole:
        return Decimal("0.00")
    return (100 * part / whole).quantize(Decimal("0.01"), ROUND_HALF_UP) + 0


def to_minor(amount: Decimal, currency: str) -> int:
    """`amount` as a count of minor units. Raises ValueError when it is finer than one."""
    units = amount.scaleb(minor_digits(currency))
    if units != int(units):
        raise ValueError(f"{amount} is finer than the minor unit of {currency}")
    return int(units)


def from_minor(units: int, currency: str) -> Decimal:
    """`units` minor units as an amount, with the currency's decimals."""
    return Decimal(units).scaleb(-minor_digits(currency))


def split(total: Decimal, weights: Sequence[Decimal], currency: str) -> tuple[Decimal, ...]:
    """`total` in parts proportional to `weights` (none negative), which add up to it exactly.

    Largest remainder (Hamilton, Hare-Niemeyer) on minor units; of equal remainders the first is served
    first. A part of weight 0 gets 0. Raises ValueError when there is something to split and no weight.
    """
    units, shares = to_minor(abs(total), currency), _integers(weights)
    whole = sum(shares)
    if not whole and units:
        raise ValueError("nothing to split by: every weight is 0")
    quotas = [divmod(units * share, whole or 1) for share in shares]
    parts = [part for part, _remainder in quotas]
    by_remainder = sorted(range(len(quotas)), key=lambda i: -quotas[i][1])
    for i in by_remainder[: units - sum(parts)]:
        parts[i] += 1
    sign = -1 if total < 0 else 1
    return tuple(from_minor(sign * part, currency) for part in parts)


def _integers(weights: Sequence[Decimal]) -> list[int]:
    """Whole numbers in the same proportion, exactly."""
    ratios = [weight.as_integer_ratio() for weight in weights]
    common = lcm(*(below for _above, below in ratios))
    return [above * (common // below) for above, below in ratios]
