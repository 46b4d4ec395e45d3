"""A light in the price: what its catalogue gives, and what rate books without one go on with."""

from dataclasses import replace
from decimal import Decimal

import pytest

from studio.document import dump, parse
from studio.estimate.compare import compare
from studio.estimate.estimate import estimate
from studio.estimate.example import example_question
from studio.estimate.making_report import making_report
from studio.estimate.report import for_client, report
from studio.light.catalogue import KINDS, Lighting
from studio.pricing.rate_book import RateBook
from studio.problem import Refused
from tests.pricing.evaluated import evaluated

QUESTION = example_question()
BOOK = QUESTION.rate_book
BARE = replace(BOOK, lighting=Lighting())
DIFFUSED = replace(QUESTION.brief.design, lit=False, backing="diffuser")


def run(book=BOOK, **design):
    brief = replace(QUESTION.brief, design=replace(DIFFUSED, lit=True, **design))
    return estimate(brief, book, QUESTION.shop_state, QUESTION.as_of)


LIT = run()


def test_what_is_bought_is_what_the_plan_has():
    """Metres of strip and lead to 0.01, everything else in pieces, each at the catalogue's price."""
    lines = {line.code: line for line in LIT.price.lines if line.code.startswith("lighting.")}
    light, places = LIT.light, BOOK.lighting
    strip = lines.pop("lighting.strips.warm")
    assert (strip.quantity, strip.amount) == (Decimal(str(light.length_mm / 1000)), strip.quantity * 9)
    leads = sum(feed.lead_mm + feed.links_mm for feed in light.feeds) / 1000
    assert float(sum(line.quantity for code, line in lines.items() if ".leads." in code)) == pytest.approx(
        leads, abs=0.005 * len(places.leads)
    )
    assert sum(line.quantity for code, line in lines.items() if ".fuses." in code) == len(light.feeds)
    assert sum(line.quantity for code, line in lines.items() if ".supplies." in code) == len(light.circuits)
    assert sum(line.quantity for code, line in lines.items() if ".controllers." in code) == len(
        light.circuits
    )
    prices = {row.code: row.price for kind in KINDS for row in getattr(places, kind)}
    assert all(line.unit_price == prices[code.rpartition(".")[2]] for code, line in lines.items())
    listed = sum(line.amount for line in lines.values() if line.unit == "each")
    pieces = [*(f.fuse for f in light.feeds), *(c.supply for c in light.circuits)]
    pieces += [c.controller for c in light.circuits] + [
        c for c, times in light.connectors for _ in range(times)
    ]
    assert listed == sum(piece.price for piece in pieces)


def test_workings_give_the_amounts():
    for line in LIT.price.lines:
        if line.code.startswith("lighting."):
            assert round(evaluated(line.working.formula, line.working), 2) == line.amount


def test_labour_by_the_feed_and_the_metre():
    minutes = {line.code: line.quantity * 60 for line in LIT.price.lines if line.group == "labour"}
    assert float(minutes["labour.feed"]) == pytest.approx(6 * len(LIT.light.feeds), abs=0.01)
    assert float(minutes["labour.lay-light"]) == pytest.approx(6 * LIT.light.length_mm / 1000, abs=0.01)


def test_all_of_it_is_the_lights_heading():
    """Leaving the light out leaves nothing of it in the client's lines, and moves no other line."""
    brief = replace(QUESTION.brief, design=DIFFUSED)
    dark = estimate(brief, BOOK, QUESTION.shop_state, QUESTION.as_of)
    lit, unlit = ({line.code: line.amount for line in each.price.client_lines} for each in (LIT, dark))
    assert "light" not in unlit
    assert {code for code in lit if lit[code] != unlit.get(code)} <= {"light", "panel", "rounding"}
    assert any(words == "a light" for words in compare(dark, LIT).reasons)
    assert "another light" in compare(LIT, run(light_layout="round the edge")).reasons


def test_without_a_catalogue_light_is_priced_as_it_was():
    """By the metre of area over 80 mm, and the lit panel; nothing is sized, and a warning says so."""
    found = run(BARE)
    assert found.light is None
    assert not [line for line in found.price.lines if line.code.startswith(("lighting.", "labour.feed"))]
    metres = found.bill.fit.width_mm * found.bill.fit.height_mm / 80 / 1000
    laid = next(line.quantity for line in found.price.lines if line.code == "labour.lay-light")
    assert float(laid * 60) == pytest.approx(6 * metres, abs=0.04)
    assert "lists no strip" in found.warnings[0].reason
    document = dump(BARE)
    del document["lighting"]
    assert parse(RateBook, document) == BARE


def test_catalogue_and_choices_are_documents():
    assert parse(RateBook, dump(BOOK)) == BOOK
    assert run(light_strip="bright", light_control="on and off").light.strip.code == "bright"
    assert run(light_layout="round the edge").light.length_mm < LIT.light.length_mm / 2
    near = run(light_diffuser_mm=Decimal(40)).light
    assert near.length_mm > 1.8 * LIT.light.length_mm


def test_what_cannot_be_lit_is_refused_under_its_key():
    with pytest.raises(Refused, match=r"^brief\.design\.light_strip: there is no light strip cold"):
        run(light_strip="cold")
    weak = replace(BOOK, lighting=replace(BOOK.lighting, supplies=()))
    with pytest.raises(Refused, match=r"^rate_book\.lighting\.supplies: "):
        run(weak)
    twice = replace(BOOK, lighting=replace(BOOK.lighting, fuses=BOOK.lighting.fuses[:1] * 2))
    with pytest.raises(Refused, match=r"rate_book\.lighting\.fuses: fuse-1 is there 2 times"):
        run(twice)


def test_what_it_costs_to_run_is_the_clients_own():
    """By the hours and the price of a kilowatt hour that the client says; neither moves the price."""
    terms = replace(QUESTION.brief.terms, light_hours_a_day=Decimal(2), light_price_per_kwh=Decimal("0.5"))
    brief = replace(QUESTION.brief, design=replace(DIFFUSED, lit=True), terms=terms)
    found = estimate(brief, BOOK, QUESTION.shop_state, QUESTION.as_of)
    told, kwh = report(found)["light"], LIT.light.mains_w * 2 * 365 / 1000
    assert (told["hours_a_day"], told["kwh_a_year"]) == (2, round(kwh, 2))
    assert float(told["cost_a_year"]) == pytest.approx(kwh / 2, abs=0.01)
    assert found.price == LIT.price
    assert report(LIT)["light"]["cost_a_year"] is None


def test_the_light_is_awaited():
    slow = replace(BOOK, lighting=replace(BOOK.lighting, lead_days=30))
    assert [wait.days for wait in run(slow).dates.waits if wait.name == "Light parts"] == [30]


def test_the_report_tells_the_client_no_price_of_it():
    told = for_client(LIT)["light"]
    assert told == report(LIT)["light"]
    assert [feed["number"] for feed in told["feeds"]] == list(range(1, len(LIT.light.feeds) + 1))
    assert sum(sum(feed["pieces_mm"]) for feed in told["feeds"]) == pytest.approx(told["length_mm"])
    assert sorted(n for supply in told["supplies"] for n in supply["feeds"]) == [
        feed["number"] for feed in told["feeds"]
    ]
    assert "price" not in str(told)
    frozen = making_report(LIT, BOOK)["light"]
    assert {**frozen, "cost_a_year": None} == told
    assert [feed["places_mm"][0][:2] for feed in frozen["feeds"]] == [
        [round(at, 2) for at in feed.pieces[0].start] for feed in LIT.light.feeds
    ]
    dark = estimate(replace(QUESTION.brief, design=DIFFUSED), BOOK, QUESTION.shop_state, QUESTION.as_of)
    assert for_client(dark)["light"] is None
