from dataclasses import replace
from decimal import Decimal

from studio.light.planning import Wanted, light_plan
from studio.proposals.included import included
from studio.voice import Voice
from tests.light.cast import LIGHTING, STRIP, panel
from tests.proposals.by_hand import estimate


def test_counts_and_choices():
    assert included(estimate()) == (
        "The lattice in 1 section, put together",
        "54 pattern pieces, each fitted in its cell",
        "2 spare pieces, labelled",
        "Edging on all four sides",
        "2 hangers, each to be fixed so that it holds 0.9 kg",  # 840 g, up to the next 0.1 kg
        "Delivery to your door",
    )


def test_light_backing_and_parts():
    plain = estimate()
    brief = replace(plain.brief, design=replace(plain.brief.design, lit=True, backing="diffuser"))
    bill = replace(plain.bill, modules=plain.bill.modules * 2)
    found = included(replace(plain, brief=brief, bill=bill))
    assert "A light-spreading backing (diffuser)" in found
    assert "Lighting behind the panel, low voltage, with its supply" in found
    assert found[-1] == "Carried in as 2 parts and joined on site"


def test_a_light_that_is_sized_says_what_it_has():
    """9.5 m of 7.2 W/m are 68.4 W, over 88 % 77.7 W; 4 h a day make 77.73 x 4 x 365 / 1000 =
    113.48 kWh, at 0.28 31.77."""
    plain, lighting = estimate(), replace(LIGHTING, strips=(replace(STRIP, watts_per_m=7.2),))
    light = light_plan(panel(1024, 774), Wanted(), lighting, ["PLA"], Decimal(5))
    brief = replace(plain.brief, design=replace(plain.brief.design, lit=True, backing="diffuser"))
    told = "9500 mm of strip at 24 V, 1 supply, about 78 W, 113 kWh a year at 4 h a day"
    assert f"Light behind it: {told}" in included(replace(plain, brief=brief, light=light))
    paid = replace(brief, terms=replace(brief.terms, light_price_per_kwh=Decimal("0.28")))
    assert f"Light behind it: {told}, about £31.77" in included(
        replace(plain, brief=paid, light=light), Voice(currency="GBP")
    )


def test_who_measures_and_who_brings_it():
    plain = estimate()
    terms = replace(plain.brief.terms, survey="by the client", delivery="sent by carrier")
    found = included(replace(plain, brief=replace(plain.brief, terms=terms)))
    assert (found[0], found[-1]) == ("Made to your own measurements", "Sending to your door by a carrier")
    unmeasured = replace(plain.brief, terms=replace(terms, survey="none"))
    assert included(replace(plain, brief=unmeasured)) == found[1:]
