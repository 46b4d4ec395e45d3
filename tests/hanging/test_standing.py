"""Feet against the hand, and what is never passed."""

from dataclasses import replace
from decimal import Decimal
from math import radians, tan

import pytest

from studio.hanging.catalogue import Foot, Hanging, Push
from studio.hanging.standing import carried_by, foot_needed_mm, plan_standing, tipping_deg
from studio.problem import Refused

SHORT = Foot(code="short", text="Short foot", length_mm=400, price=Decimal(20))
LONG = Foot(code="long", text="Long foot", length_mm=700, price=Decimal(45), mass_g=5000, height_mm=50)
FEET = Hanging(feet=(SHORT, LONG), push=Push(force_n=20, height_mm=1000))


def test_a_foot_by_hand():
    """10 kg, 98.0665 N, pushed by 20 N at 1 m: 20 000 N mm, so 407.89 mm from front to back. At 500 mm high
    its centre comes over the end of a foot of 1000 mm at 45 degrees."""
    assert foot_needed_mm(10_000, 20, 1000) == pytest.approx(2 * 20_000 / 98.0665)
    assert tipping_deg(1000, 500) == pytest.approx(45)


def test_the_cheapest_that_is_long_enough():
    """12 kg: 339.9 mm, the short one; 8 kg: 509.9 mm, and with two long feet of 5 kg, 18 kg and 226.6 mm."""
    assert plan_standing(12_000, 900, 1800, FEET).foot is SHORT
    found = plan_standing(8000, 900, 1800, FEET)
    assert (found.foot, found.feet, found.mass_g) == (LONG, 2, 18_000)
    assert found.foot_mm == pytest.approx(40_000 / 18 / 9.80665)
    assert found.centre_mm == pytest.approx(8 * 950 / 18)
    assert tan(radians(found.tips_at_deg)) == pytest.approx(350 / (8 * 950 / 18))


def test_a_low_panel_is_pushed_at_its_top():
    low = plan_standing(12_000, 250, 500, FEET)
    assert low.foot_mm == pytest.approx(2 * 20 * 500 / 117.6798)


@pytest.mark.parametrize(
    ("public", "children", "tied"),
    [
        (False, False, False),
        (True, False, True),
        (False, True, True),
        (None, False, True),
        (False, None, True),
    ],
)
def test_it_is_tied_where_people_are_or_nobody_knows(public, children, tied):
    found = plan_standing(12_000, 900, 1800, FEET, public=public, children=children)
    assert found.tied is tied
    assert found.notes[1].startswith("Tie it to the wall or the floor")
    assert "20 N at 1000 mm (our own assumption, no source)" in found.notes[0]


def test_feet_too_short_or_longer_than_the_room():
    with pytest.raises(
        Refused, match=r"feet: .*20 N .*asks for a foot of 2040 mm, and the longest is 400 mm"
    ):
        plan_standing(2000, 900, 1800, replace(FEET, feet=(SHORT,)))
    with pytest.raises(Refused, match=r"space\.mounting: a foot of 700 mm is longer than the 600 mm"):
        plan_standing(8000, 900, 1800, FEET, room_mm=600)
    with pytest.raises(Refused, match=r"there is none"):
        plan_standing(8000, 900, 1800, Hanging())
    assert plan_standing(8000, 900, 1800, FEET, room_mm=700).foot is LONG


def test_what_carries_is_said():
    assert "lower rail carries all, 10 kg (98 N)" in carried_by("in a frame", 10_000)
    assert "lower surface carries all, 10 kg (98 N)" in carried_by("between two surfaces", 10_000)
