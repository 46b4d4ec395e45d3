"""Panels that hang or stand by the rate book's catalogue: price, mass, minutes, report."""

import json
from dataclasses import replace
from decimal import Decimal

import pytest

from studio.commissions.call.outcome import Outcome
from studio.document import dump, parse
from studio.estimate.estimate import estimate
from studio.estimate.example import example_question
from studio.estimate.held import with_held
from studio.estimate.making_report import making_report
from studio.estimate.priced import price_up
from studio.estimate.report import report
from studio.estimate.warnings import not_in_price
from studio.hanging.catalogue import Foot, Hanger
from studio.pricing.rate_book import RateBook
from studio.problem import Refused
from studio.proposals.included import included
from studio.voice import Voice
from tests.pricing.evaluated import evaluated

QUESTION = example_question()
BRIEF, BOOK = QUESTION.brief, QUESTION.rate_book
ROW = next(thing for thing in BOOK.bought if thing.code == "hanger")
HOOK = Hanger(code="hanger", text=ROW.text, rating_g=BOOK.hanger_load_g, price=ROW.price, mass_g=ROW.mass_g)
RAIL = Hanger(
    code="rail", text="Cleat rail", kind="cleat rail", rating_g=80_000, price=Decimal("14.50"), mass_g=600,
    width_mm=400, holes_mm=(-180, 0, 180), minutes=Decimal("12.5"),
)  # fmt: skip
FOOT = Foot(code="foot", text="Oak foot", length_mm=900, price=Decimal(38), minutes=Decimal(20), mass_g=2500)


def book(*hangers, feet=(), **changes):
    """The example's, with its row of hangers in the catalogue."""
    rows = tuple(thing for thing in BOOK.bought if thing.code != "hanger")
    return replace(BOOK, bought=rows, hangers=hangers, feet=feet, **changes)


def run(rates, brief=BRIEF):
    return estimate(brief, rates, QUESTION.shop_state, QUESTION.as_of)


def line(found, code):
    return next((each for each in found.price.lines if each.code == code), None)


def test_a_catalogue_of_the_hangers_that_there_were_moves_no_price():
    plain, found = run(BOOK), run(book(HOOK))
    assert (found.price.net, found.price.gross) == (plain.price.net, plain.price.gross)
    assert found.hung_mass_g == plain.hung_mass_g
    assert found.dates == plain.dates
    assert plain.hanging is None
    assert (found.bill.hangers, len(found.hanging.modules)) == (2, 1)
    assert found.hanger_load_needed_g == pytest.approx(plain.hanger_load_needed_g, abs=0.1)


def test_the_plan_weighs_what_the_price_weighs():
    found = run(book(HOOK))
    (module,) = found.hanging.modules
    assert module.hung.mass_g + 2 * HOOK.mass_g == pytest.approx(found.hung_mass_g, abs=0.1)


def test_a_rail_is_one_piece_with_minutes_of_its_own():
    """14.50 for one, and 12.5 minutes of a maker: 0.2083 h."""
    found = run(book(RAIL))
    assert found.bill.hangers == 1
    piece, work = line(found, "bought.rail"), line(found, "labour.fit-rail")
    assert (piece.quantity, piece.amount) == (1, Decimal("14.50"))
    assert work.quantity == Decimal("0.2083")
    assert work.amount == (Decimal("0.2083") * BOOK.roles["maker"]).quantize(Decimal("0.01"))
    for each in (piece, work):
        assert evaluated(each.working.formula, each.working).quantize(Decimal("0.01")) == each.amount
    more = found.price.labour_minutes - run(book(HOOK)).price.labour_minutes
    assert more == Decimal("12.5") - 3  # a hanger less at 3 minutes


def test_the_workshop_gets_the_minutes_that_are_paid_for():
    rates = book(RAIL)
    found = run(rates)
    made = making_report(found, rates)
    assert sum(Decimal(row["minutes"]) for row in made["labour"]) == found.price.labour_minutes
    assert ["rail", "1.0000"] in [
        [row["code"].removeprefix("bought."), row["quantity"]] for row in made["bought"]
    ]


def test_what_nothing_holds_has_no_price():
    weak = replace(HOOK, rating_g=2000)
    with pytest.raises(Refused, match=r"rate_book\.hangers: .*holds 2 kg"):
        run(book(weak))
    wanted = replace(BRIEF, design=replace(BRIEF.design, hanger="nail"))
    with pytest.raises(Refused, match=r"brief\.design\.hanger: .*“nail”"):
        run(book(HOOK), wanted)
    chosen = replace(BRIEF, design=replace(BRIEF.design, hanger="rail"))
    assert run(book(HOOK, RAIL), chosen).hanging.hanger == RAIL


STANDING = replace(BRIEF, space=replace(BRIEF.space, mounting="free-standing"))


def test_feet_are_priced_and_tied():
    """Two of 38.00, and 40 minutes."""
    rates = book(HOOK, feet=(FOOT,))
    plain, found = run(book(HOOK), STANDING), run(rates, STANDING)
    assert (found.hanging, found.bill.hangers) == (None, 0)
    assert line(found, "bought.foot").amount == 76
    assert found.price.labour_minutes - plain.price.labour_minutes == 40
    assert found.hung_mass_g - plain.hung_mass_g == pytest.approx(5000)
    assert found.standing.mass_g == pytest.approx(found.hung_mass_g, abs=0.1)
    assert found.standing.tied  # the room is open to the public
    told = [
        " ".join(not_in_price(STANDING, price_up(STANDING, r, QUESTION.shop_state))) for r in (rates, BOOK)
    ]
    assert ["feet" in each for each in told] == [False, True]
    with pytest.raises(Refused, match=r"rate_book\.feet"):
        run(book(feet=(replace(FOOT, length_mm=10),)), STANDING)


def test_the_report_says_where_and_how_much():
    found = json.loads(json.dumps(report(run(book(HOOK)))))
    (module,) = found["hanging"]["modules"]
    (left, up), (right, same) = module["hangers_mm"]
    assert up == same
    assert (left + right) / 2 == pytest.approx(module["centre_mm"][0], abs=0.02)
    assert module["load_n"] == pytest.approx(module["load_g"] * 9.80665e-3, abs=0.01)
    assert found["standing"] is None
    stood = report(run(book(feet=(FOOT,)), STANDING))
    assert (stood["standing"]["foot"], stood["hanging"]) == ("foot", None)


def test_clients_read_the_load_in_their_units():
    found = run(book(HOOK))
    needed_lb = found.hanger_load_needed_g / 453.59237
    (told,) = [text for text in included(found, Voice(units="imperial")) if "hanger" in text]
    assert "2 feet to stand on" in " ".join(included(run(book(feet=(FOOT,)), STANDING)))
    assert float(told.split("holds ")[1].split(" lb")[0]) == pytest.approx(needed_lb, abs=0.1)


def test_bad_catalogues_are_refused_with_their_keys():
    twice = book(HOOK, HOOK)
    with pytest.raises(Refused, match=r"rate_book\.hangers: hanger is there 2 times"):
        run(twice)
    wrong = dump(book(HOOK)) | {"hangers": [{"code": "x", "text": "X", "rating_g": 0}]}
    for own in (replace(HOOK, code="fixing"), replace(HOOK, minutes=Decimal(2))):
        with pytest.raises(Refused, match=r"rate_book\.hangers: .* has the code .* already; give it another"):
            run(book(own))
    with pytest.raises(Refused, match=r"hangers\.0\.rating_g: found 0 g; give more than 0"):
        parse(RateBook, wrong)


def test_an_empty_catalogue_adds_no_rows():
    assert with_held(BOOK, None, None) is BOOK


def facts(found, rates):
    return list(Outcome(found, rates, Voice()).facts())


def test_the_page_tells_loads_heights_and_what_carries():
    """Its middle is at 1500 mm while nothing stands below."""
    rates = book(HOOK)
    found = run(rates)
    told = dict(facts(found, rates))
    assert told["Hangers"].startswith("2 × Metal hanger with screws, each to hold ")
    assert "any two carry all, one " in told["Hangers"]
    assert "Height" not in told  # it is said
    unsaid = replace(BRIEF, space=replace(BRIEF.space, floor_to_bottom_mm=None))
    bottom = 1500 - found.bill.fit.height_mm / 2
    assert f"lower edge at {Voice().length(bottom, 0)}" in dict(facts(run(rates, unsaid), rates))["Height"]
    desk = replace(BRIEF, space=replace(unsaid.space, stands_near=("sideboard", "door")))
    assert dict(facts(run(rates, desk), rates))["Height"].endswith("clear of what stands below")
    framed = replace(BRIEF, space=replace(BRIEF.space, mounting="in a frame"))
    assert "lower rail carries all" in dict(facts(run(rates, framed), rates))["Carried"]
    feet = book(feet=(FOOT,))
    standing = facts(run(feet, STANDING), feet)
    assert ("Feet", "2 × Oak foot, 900 mm from front to back") in standing
    assert any("Tie it to the wall or the floor" in text for _name, text in standing)
