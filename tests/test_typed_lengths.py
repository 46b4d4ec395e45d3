"""Lengths in forms lose nothing between being shown and being read."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.problem import Problem
from studio.typed_lengths import as_typed, read_lengths, shown_length
from studio.voice import PLAIN, Voice

INCHES = Voice(units="imperial")


@given(st.decimals("0.1", "20000", places=2), st.sampled_from([PLAIN, INCHES, Voice("de_DE")]))
def test_shown_lengths_read_back_exactly(mm: Decimal, voice: Voice) -> None:
    text = shown_length(mm, voice)
    assert Decimal(read_lengths({"side": text}).mm["side"]) == mm


def test_inches_where_sixteenths_are_exact() -> None:
    assert shown_length("44.45", INCHES) == '1 3/4"'
    assert shown_length("44", INCHES) == "44 mm"


def test_about_is_noticed() -> None:
    read = read_lengths({"width": "about 1.2 m", "height": "750"})
    assert read.mm == {"width": "1200", "height": "750"}
    assert read.approximate == {"width"}


@pytest.mark.parametrize("text", ["abc", "", "1 m 3 in", "-5", "0.01 mm", "10 km", "0"])
def test_what_is_no_length_is_a_problem_of_its_field(text: str) -> None:
    (problem,) = read_lengths({"gap": text}).problems
    assert problem.field == "gap"
    assert problem.reason
    assert problem.remedy


@pytest.mark.parametrize(
    ("typed", "found", "said"),
    [
        ("abc", "found “abc”", "found “abc”"),
        ("a b", "found “a b”", "found “a b”"),
        ("101", "found 101 %", "found 101 %"),
        ("45 mm", "found 45 mm", "found 45 mm"),
        ("1.2 m", "found 1200 mm", "“1.2 m” is 1200 mm"),
        ("", "nothing is given", "nothing is given"),
    ],
)
def test_what_was_found_is_said_once(typed: str, found: str, said: str) -> None:
    assert as_typed(Problem("side", found, "give another"), {"side": typed}).reason == said


def test_nothing_is_a_length_where_it_may_be() -> None:
    assert read_lengths({"gap": "0 mm"}, may_be_zero=["gap"]).mm == {"gap": "0"}
