"""Whole plans: three panels by hand, every feed against a network of resistances, and what is refused."""

from dataclasses import replace
from decimal import Decimal
from itertools import pairwise
from math import ceil

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from studio.light.catalogue import CLASS_5_OHMS_PER_KM, Lighting, LightRules, Supply
from studio.light.heat import face_deg_c
from studio.light.planning import Wanted, light_plan
from studio.problem import Refused
from tests.light.cast import LIGHTING, STRIP, TWELVE, panel

A_FEED, AS_USUAL = Decimal(5), Wanted()
SMALL, LARGE = panel(1024, 774), panel(1624, 1774)
HUGE = panel(5200, 6000, side="100", way=(3200, 7000))
IN_SIX = panel(1824, 1224, bed=300, way=(700, 700))


def plan_of(bill, lighting=LIGHTING, wanted=AS_USUAL, materials=("PLA",)):
    return light_plan(bill, wanted, lighting, materials, A_FEED)


def ruled(**changes) -> Lighting:
    return replace(LIGHTING, rules=replace(LIGHTING.rules, **changes))


def stripped(**changes) -> Lighting:
    return replace(LIGHTING, strips=(replace(STRIP, **changes),))


def test_a_small_panel_has_one_supply():
    """0.79 m²: ten rows of 0.95 m, 73 mm apart, of 7.2 W/m: 68.4 W, which needs 85.5 W at four fifths, and
    2.85 A, which need a fuse of 3.6 A. In the strip 2.85 x 0.0672 x 9.5 / 2 = 0.9097 V are lost; in a lead of
    1 mm², 21.84 mohm/m at 50 °C, with 1.5955 m to the first row and nine links of 73 mm through which flow
    0.9 to 0.1 of the current, 2 x 2.85 x 0.02184 x (1.5955 + 4.5 x 0.073) = 0.2395 V: 1.1492 V, 4.788 %.
    0.75 mm² would lose 5.12 %. Paid are 2.2525 m of lead at 0.75, the fuse, supply, dimmer, nine links, and
    the work on a feed."""
    plan = plan_of(SMALL, stripped(watts_per_m=7.2))
    (feed,), (circuit,) = plan.feeds, plan.circuits
    assert (plan.length_mm, feed.lead.cross_section_mm2, feed.fuse.amps) == (9500, "1", 5)
    assert (feed.lead_mm, feed.links_mm) == pytest.approx((1595.5, 657))
    assert (plan.watts, feed.amps, feed.drop_percent) == pytest.approx((68.4, 2.85, 4.788), abs=1e-3)
    assert (circuit.supply.watts, circuit.controller.amps) == (96, 5)
    assert (
        plan.price
        == Decimal("2.2525") * Decimal("0.75") + Decimal("0.60") + 26 + 15 + 9 * Decimal("0.80") + 5
    )
    assert plan.depth_mm == 83
    assert not plan.problems


def test_what_it_costs_to_run_and_how_bright_it_is():
    """68.4 W over 88 % are 77.73 W; 4 h x 365 days: 113.48 kWh. 9.5 m of 1300 lm."""
    plan = plan_of(SMALL, stripped(watts_per_m=7.2))
    assert plan.mains_w == pytest.approx(68.4 / 0.88)
    assert plan.kwh_a_year(4) == pytest.approx(113.48, abs=0.01)
    assert plan.lumens == pytest.approx(12_350)
    silent = replace(LIGHTING, supplies=tuple(replace(s, efficiency_percent=None) for s in LIGHTING.supplies))
    assert plan_of(SMALL, silent).mains_w is None
    assert plan_of(SMALL, silent).kwh_a_year(1) == pytest.approx(2 * 68.4 * 0.365)


def test_one_supply_is_not_enough_for_34_m():
    """Twenty rows of 34 steps of 50 mm: 34 m, 489.6 W; the largest supply takes 120 W, so that there are five
    or more."""
    plan = plan_of(LARGE)
    assert plan.length_mm == 34_000
    assert len(plan.circuits) >= 5
    assert sum(circuit.load_w for circuit in plan.circuits) == pytest.approx(489.6)


def test_hundreds_of_metres_have_many_supplies():
    """Rows of 117 steps, 5.85 m: 2690 mm of one module hold 34 of them, 2390 of the other 30: 374.4 m. A row
    takes 84.24 W: more than the 76.8 of one supply, and two rows more than the 120 of the largest."""
    plan = plan_of(HUGE)
    assert plan.length_mm == 374_400
    assert plan.watts == pytest.approx(5391.36)
    assert len(plan.circuits) == 64


def at_far_end_v(feed, strip, rules) -> float:
    """What is lost up to the last of the loads, one in the middle of every cut step, by the network's nodal
    equations: conductance matrix times drops = currents."""
    warm = 1 + 0.004 * (rules.conductor_deg_c - 20)
    lead = 2 * CLASS_5_OHMS_PER_KM[feed.lead.cross_section_mm2] / 1000 * warm
    step = strip.ohms_per_m * warm * strip.cut_mm / 1000
    between = []
    for number, piece in enumerate(feed.pieces):
        x, y = piece.start
        if number == 0:
            between.append(lead * (rules.lead_mm + x + y) / 1000 + step / 2)
        else:
            last = feed.pieces[number - 1].end
            between.append(step + lead * (abs(x - last[0]) + abs(y - last[1])) / 1000)
        between += [step] * (piece.steps - 1)
    size = len(between)
    matrix = np.zeros((size, size))
    for i, ohms in enumerate(between):
        matrix[i, i] += 1 / ohms
        if i:
            matrix[i - 1, i - 1] += 1 / ohms
            matrix[i - 1, i] -= 1 / ohms
            matrix[i, i - 1] -= 1 / ohms
    return np.linalg.solve(matrix, np.full(size, feed.amps / size))[-1]


catalogues = st.builds(
    lambda watts, ohms, cut, drop, lead_mm, limited: replace(
        LIGHTING,
        strips=(replace(STRIP, watts_per_m=watts, ohms_per_m=ohms, cut_mm=cut),),
        rules=LightRules(drop_percent=drop, lead_mm=lead_mm, limited=limited),
    ),
    st.sampled_from([4.8, 9.6, 14.4, 19.2]),
    st.sampled_from([0.02, 0.06, 0.2]),
    st.sampled_from([16.7, 50, 100]),
    st.sampled_from([3, 5]),
    st.sampled_from([0, 1500, 6000]),
    st.booleans(),
)


@settings(max_examples=40, deadline=None)
@given(
    st.sampled_from([SMALL, LARGE, IN_SIX]),
    catalogues,
    st.sampled_from(["rows", "round the edge"]),
    st.sampled_from(["on and off", "dimmed"]),
)
def test_every_feed_holds(bill, lighting, layout, control):
    plan = plan_of(bill, lighting, Wanted(layout=layout, control=control))
    rules, strip = lighting.rules, plan.strip
    assert sum(piece.steps for feed in plan.feeds for piece in feed.pieces) * strip.cut_mm == plan.length_mm
    for feed in plan.feeds:
        lost_v = at_far_end_v(feed, strip, rules)
        assert lost_v <= strip.volts * rules.drop_percent / 100 + 1e-6
        assert lost_v == pytest.approx(
            feed.drop_v, rel=1e-3, abs=feed.amps * strip.ohms_per_m * strip.cut_mm / 1000
        )
        assert feed.amps / 0.8 <= feed.fuse.amps + 1e-6 <= feed.lead.amps + 2e-6
    assert sorted(i for circuit in plan.circuits for i in circuit.feeds) == list(range(len(plan.feeds)))
    for circuit in plan.circuits:
        load_w = sum(plan.feeds[i].watts for i in circuit.feeds)
        assert load_w <= 0.8 * circuit.supply.watts + 1e-4
        assert not rules.limited or circuit.supply.watts <= 100
        assert (circuit.controller is not None) == (control == "dimmed")
        assert not circuit.controller or load_w <= 24 * circuit.controller.amps + 1e-4


@pytest.mark.parametrize(("volts", "va"), [(24, 100), (12, 60), (5, 25)])
def test_the_most_that_a_limited_supply_has(volts, va):
    """Class 2: 100 VA at 24 V and 60 VA at 12 V from secondary pages, 5 A x V below 20 V from memory."""
    assert LightRules().most_va(volts) == va


def test_in_several_modules_each_feed_has_a_plug():
    plan = plan_of(IN_SIX)
    assert {feed.module for feed in plan.feeds} == set(range(len(IN_SIX.modules)))
    plugs = {connector.joins: times for connector, times in plan.connectors}
    assert plugs["modules"] == len(plan.feeds)
    assert plugs.get("strips", 0) == sum(len(feed.pieces) - 1 for feed in plan.feeds)


def test_no_thicker_or_thinner_leads_cost_less():
    """The choice is the least of those that a catalogue of one lead each would give, or less."""
    alone = [plan_of(LARGE, replace(LIGHTING, leads=(lead,))).price for lead in LIGHTING.leads]
    assert plan_of(LARGE).price <= min(alone)


def test_a_strip_of_which_only_the_longest_run_is_known():
    """Rows of 0.95 m, and 1.9 m from one feed at most: those would lose all of the 1.2 V and leave nothing to
    a lead. One row loses 1.2 x (0.95/1.9)^2 = 0.3 V, and its lead something more."""
    plan = plan_of(SMALL, stripped(ohms_per_m=None, longest_run_mm=1900))
    assert [len(feed.pieces) for feed in plan.feeds] == [1] * 10
    assert all(0.3 < feed.drop_v <= 1.2 for feed in plan.feeds)
    assert any("is not known" in problem.reason for problem in plan.problems)


def test_the_depth_follows_from_how_far_rows_are_apart():
    """At 40 mm from the diffuser twice as many rows (19 of them 38.4 mm apart) stand 43 mm off it."""
    plan = plan_of(SMALL, wanted=Wanted(diffuser_mm=40))
    rows = sorted(piece.start[1] for feed in plan.feeds for piece in feed.pieces)
    assert len(rows) == ceil(730 / 40)
    assert max(b - a for a, b in pairwise(rows)) <= 40
    assert plan.depth_mm == 43


def test_the_first_strip_that_suits_is_taken():
    """No supply here is for 12 V."""
    both = replace(LIGHTING, strips=(TWELVE, STRIP))
    assert plan_of(SMALL, both).strip == STRIP
    with pytest.raises(Refused, match="needs a supply of 12 V; there is: 24 V"):
        plan_of(SMALL, both, Wanted(strip="twelve"))


REFUSED = [
    (stripped(volts=12.0), AS_USUAL, r"lighting.supplies: .*needs a supply of 12 V"),
    (stripped(watts_per_m=150, cut_mm=900), AS_USUAL, r"supplies: .*takes 135 W, .*more than 120 W"),
    (stripped(cut_mm=500, longest_run_mm=400), AS_USUAL, r"cut_mm: .*500 mm.*may be 400 mm long"),
    (stripped(ohms_per_m=None), AS_USUAL, r"strips.warm.ohms_per_m: nobody says how far"),
    (stripped(ohms_per_m=9, cut_mm=900), AS_USUAL, r"lighting.leads: .*not one cut step .*drop of 5 %"),
    (stripped(cut_mm=1000), AS_USUAL, r"design.light_strip: a module has no room for one cut step"),
    (replace(LIGHTING, strips=()), AS_USUAL, r"lighting.strips: there is no light strip"),
    (LIGHTING, Wanted(strip="cold"), r"design.light_strip: there is no light strip cold; use one of: warm"),
    (replace(LIGHTING, leads=()), AS_USUAL, r"lighting.fuses: there is no lead"),
    (
        replace(stripped(cut_mm=900), fuses=(replace(LIGHTING.fuses[0], amps=0.5),)),
        AS_USUAL,
        r"takes 0.54 A.*at 80 %",
    ),
    (replace(LIGHTING, controllers=()), AS_USUAL, r"lighting.controllers: no controller is for 24 V"),
    (LIGHTING, Wanted(diffuser_mm=12), r"light_diffuser_mm: at 12 mm .*seen one by one; at least 20 mm"),
    (ruled(least_diffuser_mm=1), Wanted(diffuser_mm=8), r"strip 10 mm wide; at least 10 mm"),
    (ruled(limited=True, limited_va=20), AS_USUAL, r"lighting.supplies: .*more than the 20 VA"),
]


@pytest.mark.parametrize(("lighting", "wanted", "told"), REFUSED)
def test_what_cannot_be_lit_says_why(lighting, wanted, told):
    with pytest.raises(Refused, match=told):
        plan_of(SMALL, lighting, wanted)


def test_heat_is_warned_of():
    """136.8 W on 0.7926 m² are 172.6 W/m²; 0.13 m²K/W make a face 22.4 K warmer than a room of 25 °C: 47 °C,
    less than 10 K under PLA's 55, and more than that under PETG's 69."""
    assert face_deg_c(136.8 / (1.024 * 0.774), LightRules()) == pytest.approx(47.4, abs=0.1)
    warned = [p.reason for p in plan_of(SMALL).problems if "PLA" in p.reason]
    assert len(warned) == 1
    assert "173 W on each square metre" in warned[0]
    assert not [p for p in plan_of(SMALL, materials=("PETG",)).problems if "°C" in p.reason]
    assert any("more than 150 W" in p.reason for p in plan_of(SMALL, ruled(most_w_per_m2=150)).problems)
    assert any("what warmth TPU softens" in p.reason for p in plan_of(SMALL, materials=("TPU",)).problems)


def test_a_large_supply_at_the_right_price_is_taken():
    """136.8 W need 171 W: one supply of 200 W and one dimmer for less than two of each."""
    cheap = Supply(code="one", text="Supply 200 W", volts=24, watts=200, price=Decimal(30))
    plan = plan_of(SMALL, replace(LIGHTING, supplies=(*LIGHTING.supplies, cheap)))
    assert [circuit.supply for circuit in plan.circuits] == [cheap]
