"""Hangers: which, where, and what each has to hold."""

from dataclasses import replace
from decimal import Decimal

import pytest

from studio.document import parse
from studio.hanging.catalogue import Hanger, Hanging, Joints
from studio.hanging.joints import unknown_joints
from studio.hanging.places import CLEAR_MM, OVERHANG
from studio.hanging.plan import plan_hanging
from studio.hanging.statics import newtons
from studio.lattice.bill import BedLimit
from studio.lattice.cells import off_crossing
from studio.lattice.design import AllOver, Band, Bands, Infill, WayIn
from studio.problem import Refused
from tests.hanging.cast import HOOK, PRINTED, RAIL, catalogue, grams, panel
from tests.lattice.cast import LATTICES, OPEN, PATTERN

SMALL = WayIn(width_mm=240, length_mm=280)


def planned(*hangers, of=None, evenly=0.0, factor=4.0, chosen="", behind=0.0, **changes):
    composition, bill = of or panel()
    hanging = catalogue(*hangers, **changes)
    return plan_hanging(composition, bill, grams(bill), evenly, hanging, factor, chosen, behind)


def leaning(lattice="square"):
    """All infills on the left."""
    filled = Band(infill=Infill(pattern=PATTERN[lattice], filament="Tea"), cells=3)
    rows = Bands(bands=(filled, Band(infill=OPEN, cells=5)))
    return panel(lattice, 8, 6, arrangement=rows)


def test_two_hangers_stand_level_about_the_centre_of_mass_and_share_it():
    plan = planned(of=leaning())
    (module,) = plan.modules
    left, right = module.places.across_mm
    assert module.hung.x_mm < 170  # the middle is at 176
    assert (left + right) / 2 == pytest.approx(module.hung.x_mm)
    assert module.places.up_mm == 6 * 44 + 6  # the middle of the upper edging
    assert module.load_g == pytest.approx(module.hung.mass_g / 2)
    assert module.needed_g == pytest.approx(2 * module.hung.mass_g)


def test_they_stand_where_the_panel_bends_least_or_next_to_it():
    """376 mm wide in two sections: 110.1 mm from the centre at 176 is free of the seam there. A section more
    across: the pair gives way to seams at 176 and 352 by half its width and the clearance."""
    (module,) = planned(of=panel("square", 8, 4)).modules
    assert module.places.across_mm[1] - 176 == pytest.approx(376 * (0.5 - OVERHANG))
    (module,) = planned(replace(HOOK, width_mm=130), of=panel("square", 12, 4)).modules
    seams, centre = (176, 352), 264
    apart = module.places.across_mm[1] - centre
    assert all(abs(x - seam) >= 65 + CLEAR_MM - 1e-9 for x in module.places.across_mm for seam in seams)
    assert apart == pytest.approx(88 + 75)  # 161.7 wanted; from 13 to 163 is blocked


@pytest.mark.parametrize("lattice", LATTICES)
def test_without_an_edging_they_hang_by_crossings(lattice):
    composition, bill = panel(lattice, 9, 8, edging_width_mm=Decimal(0), way_in=SMALL)
    plan = plan_hanging(composition, bill, grams(bill), 0.0, catalogue(), 4)
    fit = composition.fit
    assert len(plan.modules) == len(bill.modules) > 1
    for module in plan.modules:
        level = round(module.places.up_mm / fit.up.step_mm)
        steps = [round(x / fit.across.step_mm) for x in module.places.across_mm]
        assert module.places.up_mm == pytest.approx(level * fit.up.step_mm)
        assert [off_crossing(fit, step + level) for step in steps] == [0, 0]
        left, right = module.places.across_mm
        assert left < module.hung.x_mm < right
        share = max(module.hung.x_mm - left, right - module.hung.x_mm) / (right - left)
        assert module.load_g == pytest.approx(share * module.hung.mass_g)
        assert module.hung.box[0] < left
        assert right < module.hung.box[2]
        assert module.hung.box[1] < module.places.up_mm < module.hung.box[3]


@pytest.mark.parametrize("width_mm", [100, 150])
def test_nothing_hangs_at_or_below_its_centre_of_mass(width_mm):
    """12 by 4 cells without an edging, 88 mm high: clear of the upper edge by half the hanger and 10 mm is
    the level at 22 mm, where the upper half would tip off the wall."""
    of = panel("three-way", 12, 4, edging_width_mm=Decimal(0), bed=BedLimit(600, 600, 250))
    low = replace(HOOK, width_mm=width_mm), replace(RAIL, width_mm=width_mm, holes_mm=(0,))
    for hanger in low:
        with pytest.raises(Refused, match="finds no place"):
            planned(hanger, of=of)


def test_the_cheapest_that_holds_is_taken():
    """2.1 kg printed and 8 kg behind: two hooks hold 20 kg each. With 12 kg behind, a rail; the choice of the
    design stands where it holds."""
    strong = replace(RAIL, rating_g=10**6)
    assert planned(HOOK, strong, evenly=7000).hanger is HOOK
    assert planned(HOOK, strong, evenly=12_000).hanger == strong
    assert planned(HOOK, strong, evenly=7000, chosen="rail").hanger == strong
    assert planned(replace(HOOK, price=Decimal(5)), strong).hanger == strong


def test_a_rail_carries_all_and_its_screws_half_each():
    (module,) = planned(RAIL).modules
    assert module.places.across_mm == (module.hung.x_mm,)
    assert module.load_g == module.hung.mass_g
    assert module.hole_load_g == pytest.approx(module.hung.mass_g / 2)


def test_own_mass_counts():
    light, heavy = (planned(replace(HOOK, mass_g=mass)).modules[0] for mass in (0, 100))
    assert heavy.load_g - light.load_g == pytest.approx(100)


def test_the_pull_is_of_the_projection():
    """12 mm deep, 5 mm off the wall and 20 mm behind it: 31 mm to the middle. The hangers are 282 mm above
    the lower edge, at -12."""
    plan = planned(behind=20.0)
    (module,) = plan.modules
    assert plan.projection_mm == 37
    assert module.moment_nmm == pytest.approx(newtons(module.hung.mass_g) * 31)
    assert module.pull_n == pytest.approx(newtons(module.load_g) * 31 / 282)


def test_what_no_hanger_holds_is_refused_with_the_figure_that_would():
    """20 kg of 5 kg hooks: 10 kg on one, 4 times that is 40 kg."""
    composition, bill = panel()
    weightless = [0.0] * len(bill.parts)
    weak = catalogue(replace(HOOK, rating_g=5000))
    with pytest.raises(Refused, match=r"hangers: Hook holds 5 kg: .*10 kg on one.* factor 4 .*40 kg") as no:
        plan_hanging(composition, bill, weightless, 20_000.0, weak, 4)
    assert no.value.problems[0].remedy == "hangers that hold at least 40 kg each"
    enough = catalogue(replace(HOOK, rating_g=40_000))
    assert plan_hanging(composition, bill, weightless, 20_000.0, enough, 4).needed_g == pytest.approx(40_000)


def test_a_third_of_what_breaks_it_is_what_it_may_carry():
    """Trade guides: safe load = failure load / 3, so that what fails at 60 kg carries 20 kg. Two carry 40."""
    composition, bill = panel()
    weightless, failing = [0.0] * len(bill.parts), catalogue(replace(HOOK, rating_g=60_000))
    plan = plan_hanging(composition, bill, weightless, 40_000.0, failing, 3)
    assert plan.modules[0].load_g == pytest.approx(20_000)
    with pytest.raises(Refused, match=r"factor 3 that is 60\.1 kg"):
        plan_hanging(composition, bill, weightless, 40_010.0, failing, 3)


def test_printed_hangers_need_leave_and_are_taken_for_creep():
    with pytest.raises(Refused, match=r"design\.hanger: printed hangers creep"):
        planned(HOOK, PRINTED, chosen="printed")
    assert planned(HOOK, PRINTED).hanger is HOOK
    plan = planned(PRINTED, printed_allowed=True)
    assert plan.needed_g == pytest.approx(plan.modules[0].load_g * 4 * 3)
    assert "creep" in plan.notes[0]


def test_bad_catalogues_and_choices():
    with pytest.raises(Refused, match=r"rating_g: found 0 g; give more than 0"):
        parse(Hanger, {"code": "hook", "text": "Hook", "rating_g": 0})
    with pytest.raises(Refused, match="holes on both sides"):
        parse(Hanger, {"code": "hook", "text": "Hook", "rating_g": 1, "holes_mm": [10, 20]})
    with pytest.raises(Refused, match=r"design\.hanger: .*no hanger “nail”; one of hook"):
        planned(chosen="nail")
    composition, bill = panel()
    with pytest.raises(Refused, match=r"hangers: there are no hangers"):
        plan_hanging(composition, bill, grams(bill), 0, Hanging(), 4)
    with pytest.raises(Refused, match="Hook finds no place on the panel"):
        planned(replace(HOOK, width_mm=180))
    with pytest.raises(Refused, match="finds no place"):
        planned(replace(HOOK, needs_mm=13))


def tall(**changes):
    """Square, 4 by 12 cells of 44 mm, open: three sections over each other, 176 by 176 mm each."""
    return panel("square", 4, 12, arrangement=AllOver(infill=OPEN), **changes)


def test_seams_of_a_tall_panel_carry_what_hangs_below():
    """Of a mass that lies evenly, 9 kg: the panel is 552 mm high with its edging, and below the upper seam
    hang 2 * 176 + 12 mm of it, 5.935 kg, by 2 joints (176 mm at one each 90 mm)."""
    composition, bill = tall()
    assert [(seam.joints, seam.keys) for seam in bill.seams] == [(2, 2), (2, 2)]
    weightless = [0.0] * len(bill.parts)
    key_g = 9000 * 364 / 552 / 2
    plan = plan_hanging(composition, bill, weightless, 9000.0, catalogue(), 4)
    assert {each.what: (each.load_g, each.holds) for each in plan.joints} == {
        "one seam key": (pytest.approx(key_g), None),
        "the edging at one hanger": (pytest.approx(4500), None),
    }
    unknown = [each.reason for each in unknown_joints(plan.joints)]
    assert unknown[0] == "2.97 kg hangs on one seam key, and what that holds is not known"
    tested = catalogue(joints=Joints(key_g=3 * key_g + 1, edging_g=13_501))
    plan = plan_hanging(composition, bill, weightless, 9000.0, tested, 4)
    assert [each.holds for each in plan.joints] == [True, True]
    assert not list(unknown_joints(plan.joints))
    weak = catalogue(joints=Joints(key_g=3 * key_g - 1, edging_g=13_499))
    with pytest.raises(Refused, match=r"joints\.key_g: 2.97 kg on one seam key is 9 kg with the factor 3"):
        plan_hanging(composition, bill, weightless, 9000.0, weak, 4)


def test_a_backing_that_carries_spares_the_joints():
    of = tall(backing="sheet")
    assert planned(of=of, joints=Joints(key_g=1.0, backing_carries=True)).joints == ()
    with pytest.raises(Refused, match=r"key_g"):
        planned(of=tall(), joints=Joints(key_g=1.0, backing_carries=True))
