from itertools import permutations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.drawing.colour import linear_rgb
from studio.drawing.colour_difference import ALIKE, alike, ciede2000, lab, seen_with

SHARMA = [
    ((50.0000, 2.6772, -79.7751), (50.0000, 0.0000, -82.7485), 2.0425),
    ((50.0000, 3.1571, -77.2803), (50.0000, 0.0000, -82.7485), 2.8615),
    ((50.0000, 2.8361, -74.0200), (50.0000, 0.0000, -82.7485), 3.4412),
    ((50.0000, -1.3802, -84.2814), (50.0000, 0.0000, -82.7485), 1.0000),
    ((50.0000, 0.0000, 0.0000), (50.0000, -1.0000, 2.0000), 2.3669),
    ((50.0000, 2.4900, -0.0010), (50.0000, -2.4900, 0.0009), 7.1792),
    ((50.0000, 2.4900, -0.0010), (50.0000, -2.4900, 0.0011), 7.2195),
    ((50.0000, 2.5000, 0.0000), (73.0000, 25.0000, -18.0000), 27.1492),
    ((60.2574, -34.0099, 36.2677), (60.4626, -34.1751, 39.4387), 1.2644),
    ((2.0776, 0.0795, -1.1350), (0.9033, -0.0636, -0.5514), 0.9082),
]
"""From Table 1 of G. Sharma, W. Wu, E. N. Dalal, "The CIEDE2000 color-difference formula: implementation
notes, supplementary test data, and mathematical observations", Color Research and Application 30 (2005)."""
HEX = st.integers(0, 0xFFFFFF).map(lambda number: f"#{number:06x}")


@pytest.mark.parametrize(("first", "second", "difference"), SHARMA)
def test_published_pairs(first, second, difference: float) -> None:  # type: ignore[no-untyped-def]
    for pair in permutations((first, second)):
        assert ciede2000(*pair) == pytest.approx(difference, abs=5e-5)


def test_red_on_screens() -> None:
    """CIE 15 with the sRGB matrix to four decimals."""
    assert lab("#ff0000") == pytest.approx((53.233, 80.111, 67.224), abs=0.02)
    assert lab("#ffffff") == pytest.approx((100, 0, 0), abs=1e-9)
    assert lab("#000000") == pytest.approx((0, 0, 0), abs=1e-9)


@given(HEX, HEX)
def test_a_difference_is_the_same_both_ways_and_none_from_itself(one: str, other: str) -> None:
    assert ciede2000(lab(one), lab(one)) == 0
    assert ciede2000(lab(one), lab(other)) == pytest.approx(ciede2000(lab(other), lab(one)), abs=1e-6)


@pytest.mark.parametrize(
    ("colour", "sight", "seen"),
    [
        ("#c81e1e", "protan", (89, 79, 27)),
        ("#c81e1e", "deutan", (129, 115, 19)),
        ("#1e963c", "protan", (152, 136, 51)),
        ("#1e963c", "deutan", (139, 127, 67)),
    ],
)
def test_red_and_green_as_others_see_them(colour: str, sight: str, seen) -> None:  # type: ignore[no-untyped-def]
    """Machado, Oliveira and Fernandes (2009), supplementary tables, within one step of a channel."""
    linear = seen_with(sight, np.array(linear_rgb(colour)))
    encoded = 255 * np.where(linear <= 0.0031308, 12.92 * linear, 1.055 * linear ** (1 / 2.4) - 0.055)
    assert encoded.tolist() == pytest.approx(seen, abs=1)


def test_two_teas_are_alike_and_tea_and_indigo_are_not() -> None:
    colours = {"Tea": "#b08d57", "Tea, new batch": "#b3905c", "Indigo": "#234a6b"}
    ((first, second, difference, sight),) = alike(colours)
    assert (first, second, sight) == ("Tea", "Tea, new batch", "")
    assert 0 < difference < ALIKE


def test_a_red_and_a_green_that_some_take_for_one_another() -> None:
    (found,) = alike({"Moss": "#7d7d31", "Rust": "#a5672f", "Chalk": "#ffffff"})
    assert found[:2] == ("Moss", "Rust")
    assert found.sight in ("protan", "deutan")
    assert ciede2000(lab("#7d7d31"), lab("#a5672f")) > ALIKE


def test_one_colour_alone_and_none_are_like_nothing() -> None:
    assert alike({}) == alike({"Tea": "#b08d57"}) == ()


def test_the_nearest_come_first() -> None:
    found = alike({"A": "#808080", "B": "#868686", "C": "#818181"})
    assert [pair.difference for pair in found] == sorted(pair.difference for pair in found)
    assert found[0][:2] == ("A", "C")
