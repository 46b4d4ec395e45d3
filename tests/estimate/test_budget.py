"""What to give up to meet a budget, found from the example option."""

from contextlib import suppress
from dataclasses import replace
from datetime import date
from decimal import Decimal
from functools import reduce
from itertools import product

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from studio.document import parse
from studio.estimate.brief import Brief
from studio.estimate.budget import FEW, MOST_PRICED, Budget, Found, given_up, looking, search
from studio.estimate.estimate import estimate
from studio.estimate.example import example_question
from studio.estimate.moves import MAY_MOVE, Way, levels_of
from studio.estimate.priced import Made, Priced, price_up
from studio.lattice.design import Alternating, Infill
from studio.lattice.fit import best_fit
from studio.problem import Refused
from tests.estimate.random_briefs import random_brief

QUESTION = example_question()
BRIEF = QUESTION.brief


class Offers:
    """Prices briefs as the site does, and counts what it made."""

    def __init__(self) -> None:
        self.made: Made = {}

    def __call__(self, brief) -> Priced:
        return price_up(brief, QUESTION.rate_book, QUESTION.shop_state, self.made)


OFFERS = Offers()
NOW = OFFERS(BRIEF).sheet.gross


def searched(figure, **changes) -> Found:
    return search(BRIEF, Budget(figure=Decimal(figure), **changes), OFFERS)


def test_an_option_within_the_budget_gives_up_nothing():
    found = searched(NOW)
    assert found.as_it_is
    assert found.now == NOW
    assert found.findings == ()


@pytest.fixture(scope="module")
def found() -> Found:
    return searched(int(NOW * Decimal("0.8")))


def test_proposals_meet_the_budget_the_least_given_up_first(found):
    assert 2 <= len(found.findings) <= 6
    assert all(each.price <= int(NOW * Decimal("0.8")) for each in found.findings)
    losses = [each.loss for each in found.findings]
    assert losses == sorted(losses)
    assert all(each.gives_up for each in found.findings)


def test_proposals_give_up_different_things(found):
    ways = [frozenset(way for way, _ in each.code) for each in found.findings]
    for i, first in enumerate(ways):
        assert not any(first <= later for later in ways[i + 1 :])


def test_a_proposal_costs_what_the_estimate_of_its_design_costs(found):
    """Nothing computes a price any other way."""
    for each in found.findings[:3]:
        whole = estimate(each.brief, QUESTION.rate_book, QUESTION.shop_state, date(2026, 3, 2))
        assert each.price == whole.price.gross


def test_what_a_proposal_says_is_what_it_is(found):
    for each in found.findings:
        assert given_up(BRIEF, OFFERS(BRIEF), each.code) == each.brief
        side = best_fit(each.brief.design, each.brief.space).cell_side_mm
        told = [words for words in each.gives_up if words.startswith("cells of")]
        assert not told or told[0].startswith(f"cells of {side:g} mm instead of 46 mm")


def test_the_same_question_has_the_same_answer(found):
    again = search(BRIEF, Budget(figure=Decimal(int(NOW * Decimal("0.8")))), Offers())
    assert [(e.code, e.price) for e in again.findings] == [(e.code, e.price) for e in found.findings]


def test_what_is_fixed_does_not_move():
    found = searched(int(NOW * Decimal("0.97")), may=("depth",))
    (only,) = found.findings
    depths = {"depth_mm": BRIEF.design.depth_mm, "infill_depth_mm": BRIEF.design.infill_depth_mm}
    assert replace(only.brief.design, **depths) == BRIEF.design
    assert only.brief.design.depth_mm < BRIEF.design.depth_mm
    assert only.brief.terms == BRIEF.terms


def test_a_net_budget_is_held_against_the_net_price():
    net = OFFERS(BRIEF).sheet.net
    assert searched(net, basis="net").as_it_is
    below = searched(net - 1, basis="net")
    assert all(each.price == each.priced.sheet.net <= net - 1 for each in below.findings)


def test_where_nothing_meets_the_budget_the_nearest_is_named():
    found = searched(10)
    assert found.findings == ()
    assert found.nearest is not None
    assert 10 < found.nearest.price < NOW
    assert len(found.nearest.code) > 2


def test_terms_alone_make_nothing_anew():
    offers = Offers()
    offers(BRIEF)
    found = search(BRIEF, Budget(figure=Decimal(1), may=("delivery",)), offers)
    assert found.priced >= 3
    assert len(offers.made) == 1


def test_the_search_is_bounded_and_says_how_far_it_looked(found):
    assert found.over
    assert found.priced <= MOST_PRICED
    assert found.looked < found.combinations
    assert not found.everywhere


def test_what_is_known_comes_after_each_price(found):
    """So that a page can show it while more is looked at: nothing that meets the figure is lost again."""
    steps = list(looking(BRIEF, Budget(figure=Decimal(int(NOW * Decimal("0.8")))), OFFERS))
    assert [step.over for step in steps] == [False] * (len(steps) - 1) + [True]
    looked = [step.looked for step in steps]
    assert looked == sorted(looked)
    assert steps[0].findings == ()
    assert steps[0].looked == 1
    least = [step.findings[0].loss for step in steps if step.findings]
    assert least == sorted(least, reverse=True)
    assert [each.code for each in steps[-1].findings] == [each.code for each in found.findings]


def every_price(brief: Brief, may: tuple[Way, ...]) -> dict[tuple[int, ...], tuple[float, Decimal]]:
    """What every combination gives up and costs, each made for itself: brute force."""
    ways = [levels_of(way, brief, OFFERS(brief).composition) for way in MAY_MOVE if way in may]
    found = {}
    for numbers in product(*(range(len(levels) + 1) for levels in ways)):
        chosen = [levels[n - 1] for levels, n in zip(ways, numbers, strict=True) if n]
        wanted = reduce(lambda made, level: level.apply(made), chosen, brief)
        with suppress(Refused):
            priced = OFFERS(wanted)
            if priced.composition.pieces:
                found[numbers] = sum(level.loss for level in chosen), priced.sheet.gross
    return found


SMALL: tuple[tuple[int, tuple[Way, ...]], ...] = (
    (2, ("size", "depth", "delivery")),
    (7, ("cell side", "delivery")),
    (9, ("colours", "cell side", "backing", "delivery")),
    (12, ("size", "density", "colours", "backing")),
    (0, ("light", "depth", "delivery")),
)
"""Seeds of random briefs with ways of which there are at most 60 combinations."""


@pytest.mark.parametrize(("seed", "may"), SMALL)
def test_a_search_of_few_combinations_finds_what_brute_force_finds(seed, may):
    """Neither denied nor bettered, whatever the figure; and what it says is not there, is not."""
    brief = random_brief(seed)
    prices = every_price(brief, may)
    now, cheapest = prices[(0,) * len(next(iter(prices)))][1], min(price for _, price in prices.values())
    assert cheapest < now
    for tenths in (0, 1, 3, 5, 8):
        figure = (cheapest + (now - cheapest) * tenths / 10).quantize(Decimal("0.01"))
        got = search(brief, Budget(figure=figure, may=may), OFFERS)
        least = min(loss for loss, price in prices.values() if price <= figure)
        assert got.combinations <= FEW
        assert got.findings[0].price <= figure
        assert got.findings[0].loss == pytest.approx(least)
    below = search(brief, Budget(figure=cheapest - Decimal("0.01"), may=may), OFFERS)
    assert below.findings == ()
    assert below.everywhere
    assert below.nearest.price == cheapest


def test_from_the_cheapest_end_nothing_is_denied_that_a_thousand_combinations_hold():
    """The very cheapest of all that every way together can do."""
    brief, may = random_brief(7), MAY_MOVE
    prices = every_price(brief, may)
    assert len(prices) > 500
    cheapest = min(price for _, price in prices.values())
    got = search(brief, Budget(figure=cheapest), OFFERS)
    assert got.findings
    assert got.findings[0].price == cheapest
    assert got.priced <= MOST_PRICED < len(prices)


@settings(max_examples=4)
@given(st.integers(1, 10**6), st.data())
def test_what_any_combination_meets_is_not_denied(seed, data):
    """All ways free, the figure what some combination of them costs."""
    brief = random_brief(seed)
    try:
        ways = [levels_of(way, brief, OFFERS(brief).composition) for way in MAY_MOVE]
        chosen = [
            data.draw(st.sampled_from(levels)) for levels in ways if levels and data.draw(st.booleans())
        ]
        priced = OFFERS(reduce(lambda made, level: level.apply(made), chosen, brief))
    except Refused:
        assume(False)
    assume(all(level.told(priced.composition) for level in chosen) and priced.composition.pieces)
    assume(priced.sheet.gross < OFFERS(brief).sheet.gross)
    got = search(brief, Budget(figure=priced.sheet.gross), OFFERS)
    assert got.findings
    assert got.findings[0].price <= priced.sheet.gross


def test_where_nothing_may_move_that_is_there_all_has_been_looked_at():
    plain = replace(BRIEF, design=replace(BRIEF.design, backing="none", lit=False))
    found = search(plain, Budget(figure=Decimal(10), may=("light", "backing")), OFFERS)
    assert found.everywhere
    assert found.combinations == 1
    assert (found.findings, found.nearest) == ((), None)


def test_no_step_is_proposed_that_costs_more_alone(found):
    levels = {way: levels_of(way, BRIEF, OFFERS(BRIEF).composition) for way in MAY_MOVE}
    single = {step for each in found.findings for step in each.code}
    assert single
    for way, number in single:
        assert OFFERS(levels[way][number - 1].apply(BRIEF)).sheet.gross < NOW


def test_no_panel_is_left_without_infills():
    first, second = (Infill(pattern="hemp-leaf", filament=name) for name in ("Tea", "Indigo"))
    design = replace(BRIEF.design, arrangement=Alternating(first=first, second=second), backing="none")
    budget = Budget(figure=Decimal(10), may=("density", "colours", "cell side"))
    nearest = search(replace(BRIEF, design=design), budget, OFFERS).nearest
    assert nearest is not None
    assert "density" in {way for way, _ in nearest.code}
    assert 0 < nearest.priced.bill.open_cells < sum(nearest.priced.bill.cells)


def test_a_code_of_another_option_is_refused():
    for code in [(("light", 1),), (("depth", 99),), (("paint", 1),)]:
        with pytest.raises(Refused, match="the option has changed"):
            given_up(BRIEF, OFFERS(BRIEF), code)


@pytest.mark.parametrize("figure", ["0", "-5", "1000000000000", "NaN", "a lot"])
def test_a_budget_that_is_none(figure):
    with pytest.raises(Refused, match="figure"):
        parse(Budget, {"figure": figure})


def test_an_option_that_has_no_price_is_refused():
    book = replace(QUESTION.rate_book, filaments=QUESTION.rate_book.filaments[:1])
    with pytest.raises(Refused):
        search(BRIEF, Budget(figure=Decimal(100)), lambda brief: price_up(brief, book, QUESTION.shop_state))


@pytest.mark.parametrize("share", ["0.95", "0.8", "0.7", "0.6", "0.5", "0.45"])
def test_nothing_is_given_up_in_vain_and_the_nearest_never_meets(share):
    lit = replace(BRIEF.design, lit=True, backing="diffuser")
    brief = replace(BRIEF, design=lit, terms=replace(BRIEF.terms, distance_km=Decimal(60)))
    figure = (OFFERS(brief).sheet.net * Decimal(share)).quantize(Decimal("0.01"))
    found = search(brief, Budget(figure=figure, basis="net"), OFFERS)
    assert found.nearest is None or found.nearest.price > figure
    for each in found.findings:
        for single in each.code:
            less = tuple(other for other in each.code if other != single)
            assert OFFERS(given_up(brief, OFFERS(brief), less)).sheet.net > figure


def test_a_way_taken_twice_is_refused():
    with pytest.raises(Refused, match="the option has changed"):
        given_up(BRIEF, OFFERS(BRIEF), (("depth", 1), ("depth", 2)))


def test_steps_to_too_many_plates_are_passed_over_and_such_an_option_is_refused(monkeypatch):
    figure = int(NOW * Decimal("0.8"))
    most = len(OFFERS(BRIEF).plan.plates)
    monkeypatch.setattr("studio.making.plates.MOST_PLATES", most)
    pricer = Offers()
    found = search(BRIEF, Budget(figure=Decimal(figure)), pricer)
    assert found.findings
    assert all(len(making.plan.plates) <= most for _, making in pricer.made.values())
    monkeypatch.setattr("studio.making.plates.MOST_PLATES", 3)
    with pytest.raises(Refused, match="planned in one go"):
        search(BRIEF, Budget(figure=Decimal(figure)), Offers())
