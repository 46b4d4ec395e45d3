"""What a maker is told of a pattern: whether it can be printed, how large, held how."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from studio.lattice.holding import HOLDINGS, why_rim
from studio.lattice.own_pattern import read_pattern
from studio.lattice.patterns import pattern, patterns
from studio.lattice.piece import least_side_mm, piece_for
from studio.lattice.verdict import ANGLES_DEG, Verdict, verdict
from studio.problem import Refused
from tests.lattice import own
from tests.lattice.own import KITE, arc, changed, line

USUAL = (3.2, 2.0, 0.15)


def judged(**changes) -> Verdict:
    return verdict(read_pattern(changed(**changes)), *USUAL)


def said(found: Verdict) -> str:
    return "\n".join(found.reasons)


def test_a_pattern_that_can_be_printed():
    """By hand: two 2 mm bars across a clear opening of 40.8 mm, 40.5 mm long, less where they cross."""
    found = judged()
    assert found.printable
    assert not found.rim
    assert found.side_mm == 44
    assert found.density == pytest.approx((2 * 40.5 * 2 - 4) / 40.8**2, rel=2e-3)
    assert found.reasons[1] == "It covers 9 % of the openings at a side of 44 mm."


@pytest.mark.parametrize("design", [p for p in patterns() if not p.is_open], ids=lambda p: p.slug)
def test_the_program_s_own_patterns_can_be_printed(design):
    found = verdict(design, *USUAL)
    assert found.least_side_mm == least_side_mm(design, *USUAL)
    assert found.least_side_mm == max(form.least_side_mm for form in found.forms)
    assert len(found.angles) == (len(ANGLES_DEG) if design.lattice == "diamond" else 0)
    assert all(angle.angle_deg < 45 or angle.angle_deg > 135 or angle.least_side_mm for angle in found.angles)
    assert "loose" not in said(found)
    piece = piece_for(design, design.lattice, "whole", 0, found.side_mm, *USUAL)
    assert piece.rim == found.forms[0].rim


def test_strokes_that_part_are_refused_or_get_a_rim():
    apart = [line((-0.5, 0.2), (0.5, 0.2)), line((-0.5, -0.2), (0.5, -0.2))]
    found = judged(whole=apart)
    assert not found.printable
    assert (found.side_mm, found.density) == (None, None)
    assert "fall apart" in found.forms[0].reason
    assert found.reasons[0] == "It cannot be printed with these strips."
    rimmed = judged(whole=apart, rim="if needed")
    assert rimmed.rim
    assert rimmed.forms[0].reason == "has a rim, because its strokes would part"


def test_a_rim_is_explained():
    design = pattern("set-diamond")
    assert why_rim(design, True) == "has a rim, because its strokes would part"
    assert why_rim(design, False) == ""
    assert "has a rim, as drawn" in said(judged(rim="always"))


def test_a_piece_that_does_not_reach_a_side_sits_loose():
    found = judged(whole=[line((-0.5, 0.0), (0.5, 0.0)), arc(0.2, 0, 360)])
    assert "In whole cells it does not reach 2 of the 4 sides, and sits loose." in found.reasons


def test_gaps_that_close_are_named():
    tight = [line((x / 50, -0.5), (x / 50, 0.5)) for x in range(-20, 21)]
    found = judged(whole=[*tight, line((-0.5, 0), (0.5, 0))])
    assert found.least_side_mm == pytest.approx(50 * (2 + 0.45), abs=1)


def test_strips_that_are_too_thin_are_refused_as_such():
    found = verdict(read_pattern(changed(strip_factor=0.4)), *USUAL)
    assert "two beads take 0.9 mm" in found.forms[0].reason


def test_a_diamond_pattern_is_judged_at_every_angle():
    found = verdict(read_pattern(KITE), *USUAL)
    assert [angle.angle_deg for angle in found.angles] == list(ANGLES_DEG)
    at_60 = next(angle for angle in found.angles if angle.angle_deg == 60)
    assert at_60.least_side_mm == found.least_side_mm
    assert any("at every angle from 30 to 150 degrees" in reason for reason in found.reasons)


def test_how_it_is_held_and_replaced_is_said():
    told = said(judged(holding="glue dot"))
    assert HOLDINGS["glue dot"].how.capitalize() in told
    assert "it stays" in told


def test_an_open_pattern_covers_nothing():
    assert verdict(pattern("open", "square"), *USUAL).density == 0


@settings(max_examples=40)
@given(
    whole=st.lists(own.sound_strokes, min_size=1, max_size=4),
    rim=st.sampled_from(["never", "if needed", "always"]),
    strips=st.tuples(st.floats(1, 30), st.floats(0.8, 20), st.floats(0, 2)),
)
def test_every_pattern_gets_a_verdict(whole, rim, strips):
    try:
        design = read_pattern(changed(whole=whole, rim=rim))
    except Refused:
        return
    found = verdict(design, *strips)
    assert found.printable == all(form.printable for form in found.forms)
    assert all(form.reason for form in found.forms if not form.printable)
    if found.printable:
        assert 0 < found.density <= 1
        assert piece_for(design, "square", "whole", 0, found.side_mm, *strips) is not None
