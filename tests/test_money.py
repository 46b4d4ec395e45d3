"""Rounding, minor units and splitting."""

import sqlite3
from contextlib import closing
from decimal import ROUND_HALF_EVEN, Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.money import (
    from_minor,
    known_currency,
    minor_digits,
    minor_unit,
    round_money,
    split,
    to_minor,
)

D = Decimal


@pytest.mark.parametrize(
    ("currency", "digits"),
    [("JPY", 0), ("ISK", 0), ("EUR", 2), ("GBP", 2), ("HUF", 2), ("KWD", 3), ("BHD", 3), ("CLF", 4)],
)
def test_minor_units_are_those_of_iso_4217(currency: str, digits: int) -> None:
    assert minor_digits(currency) == digits
    assert minor_unit(currency) == D(10) ** -digits


def test_only_currencies_in_use_are_known() -> None:
    assert all(map(known_currency, ("GBP", "EUR", "JPY", "KWD", "CLF")))
    assert not any(map(known_currency, ("", "gbp", "ZZZ", "XTS", 3 * "X", "DEM")))


def test_halves_go_up_and_half_even_would_not() -> None:
    """EN 16931 public example 2: 1460.50 at 25 % is 365.125; and 99.99/1.2 is 83.325 (recomputed)."""
    assert round_money(D("1460.50") * D("0.25"), "NOK") == D("365.13")
    assert D("365.125").quantize(D("0.01"), ROUND_HALF_EVEN) == D("365.12")
    assert round_money(D("99.99") / D("1.2"), "GBP") == D("83.33")


@given(eighths=st.integers(-(10**12), 10**12))
def test_halves_are_rounded_as_another_library_rounds_them(eighths: int) -> None:
    """SQLite rounds halves away from zero. Eighths are exact in binary, so its floats hide nothing; every
    other one ends in half of 0.01."""
    with closing(sqlite3.connect(":memory:")) as database:
        (theirs,) = database.execute("SELECT printf('%.2f', round(?, 2))", (eighths / 8,)).fetchone()
    assert round_money(D(eighths) / 8, "GBP") == D(theirs)


def test_binary_floats_would_round_these_the_wrong_way() -> None:
    assert (round(2.675, 2), round(1.005, 2)) == (2.67, 1.0)
    assert round_money(D("2.675"), "GBP") == D("2.68")
    assert round_money(D("1.005"), "GBP") == D("1.01")


def test_half_a_penny_goes_up_and_less_goes_down() -> None:
    """HMRC internal manual VATREC12030: below 0.5p down, 0.5p or more up."""
    assert round_money(D("0.014999"), "GBP") == D("0.01")
    assert round_money(D("0.015"), "GBP") == D("0.02")


def test_zero_decimal_and_negative_amounts() -> None:
    assert str(round_money(D("1234.5"), "JPY")) == "1235"
    assert str(round_money(D("-0.594"), "NOK")) == "-0.59"
    assert str(round_money(D("-0.004"), "GBP")) == "0.00"


def test_minor_units_there_and_back() -> None:
    assert to_minor(D("12.34"), "GBP") == 1234
    assert to_minor(D("1235"), "JPY") == 1235
    assert to_minor(D("1.5"), "KWD") == 1500
    assert str(from_minor(1234, "GBP")) == "12.34"
    assert str(from_minor(1235, "JPY")) == "1235"
    with pytest.raises(ValueError, match="finer than the minor unit of GBP"):
        to_minor(D("0.001"), "GBP")


@pytest.mark.parametrize(
    ("total", "weights", "parts"),
    [
        ("801.78", (50, 30, 20), ("400.89", "240.53", "160.36")),
        ("100.00", (1, 1, 1), ("33.34", "33.33", "33.33")),
        ("0.05", (70, 30), ("0.04", "0.01")),
        ("-100.00", (1, 1, 1), ("-33.34", "-33.33", "-33.33")),
        ("0.00", (0, 0), ("0.00", "0.00")),
        ("0.02", (0, 1), ("0.00", "0.02")),
    ],
)
def test_split_by_largest_remainder(total: str, weights: tuple[int, ...], parts: tuple[str, ...]) -> None:
    """Hamilton (Hare-Niemeyer) method, ties to the first; three rows reproduced with apportionment 1.0."""
    assert split(D(total), [D(weight) for weight in weights], "GBP") == tuple(map(D, parts))


def test_something_cannot_be_split_by_nothing() -> None:
    with pytest.raises(ValueError, match="every weight is 0"):
        split(D(1), [D(0)], "GBP")


@given(
    units=st.integers(-(10**12), 10**12),
    weights=st.lists(st.integers(0, 10**6), min_size=1, max_size=8).filter(any),
    currency=st.sampled_from(("JPY", "GBP", "KWD", "CLF")),
)
def test_parts_add_up_and_stay_within_one_minor_unit_of_their_share(
    units: int, weights: list[int], currency: str
) -> None:
    total = from_minor(units, currency)
    parts = split(total, list(map(D, weights)), currency)
    assert sum(parts) == total
    for part, weight in zip(parts, weights, strict=True):
        assert abs(part * sum(weights) - total * weight) < minor_unit(currency) * sum(weights)
