"""What jobs take: hundredths, the table of states, and the workshop that is built from the sums."""

from dataclasses import fields
from datetime import date, timedelta
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.making.booked import (
    FOLLOWS,
    KINDS,
    STATES,
    amounts,
    differences,
    in_hundredths,
    might_come,
    shop_state,
    takes,
)
from studio.making.shop import Calendar, Promise, ShopState, Stock, calendar_of

DAY = date(2026, 3, 2)
CALENDAR = Calendar(people_hours_per_day=6, country="DE", subdivision="BY", days_off=(DAY,))


def test_figures_become_hundredths_and_nothing_is_left_out():
    found = amounts(
        printer_minutes={"Small bed": 90.125, "Large bed": 0},
        people_minutes={"assembly": Decimal("30.5")},
        grams={"Tea": 0.005},
        van_days=1,
    )
    assert found == {
        ("printer minutes", "Small bed"): 9013,
        ("people minutes", "assembly"): 3050,
        ("grams", "Tea"): 1,
        ("van days", ""): 100,
    }
    assert {kind for kind, _name in found} == set(KINDS)


@pytest.mark.parametrize(("figure", "hundredths"), [(1.005, 101), (0.004, 0), (1e5, 10**7), (-0.005, -1)])
def test_halves_go_up(figure, hundredths):
    assert in_hundredths(figure) == hundredths


AMOUNTS = st.dictionaries(
    st.tuples(st.sampled_from(KINDS), st.sampled_from(("", "Tea", "Small bed"))), st.integers(1, 10**9)
)


@given(AMOUNTS, AMOUNTS)
def test_differences_lead_from_one_to_the_other(before, after):
    moved = differences(before, after)
    assert 0 not in moved.values()
    reached = {key: before.get(key, 0) + moved.get(key, 0) for key in {**before, **moved}}
    assert {key: hundredths for key, hundredths in reached.items() if hundredths} == after


def test_every_state_can_be_reached_and_what_is_cancelled_stays_so():
    reached = {state for states in FOLLOWS.values() for state in states}
    assert reached == set(STATES)
    assert set(FOLLOWS) == {None, *STATES}
    assert FOLLOWS["cancelled"] == ()
    assert "done" not in FOLLOWS["offered"] + FOLLOWS["held"]


@pytest.mark.parametrize("state", STATES)
def test_what_takes_does_not_also_come(state):
    for held_until in (None, DAY - timedelta(1), DAY):
        assert not (takes(state, held_until, DAY) and might_come(state, held_until, DAY))


def test_a_hold_counts_on_its_last_day_and_no_longer():
    assert takes("held", DAY, DAY)
    assert not takes("held", DAY, DAY + timedelta(1))
    assert might_come("held", DAY, DAY + timedelta(1))


def test_the_workshop_from_its_calendar_and_sums():
    taken = {
        ("printer minutes", "Small bed"): 240_000,
        ("printer minutes", "Large bed"): 6_000,
        ("people minutes", "assembly"): 18_000,
        ("people minutes", "packing"): 18_000,
        ("grams", "Tea"): 12_050,
        ("grams", "Moss"): 100,
        ("van days", ""): 100,
    }
    shop = shop_state(CALENDAR, taken, {"Tea": 80_000, "Chalk": 100, "Plum": -500, "Sand": 0})
    assert shop.stock == (
        Stock(filament="Chalk", shelf_g=1),
        Stock(filament="Moss", promised_g=1),
        Stock(filament="Tea", shelf_g=800, promised_g=120.5),
    )
    assert shop.promised == (
        Promise(printer="Large bed", printer_hours=1),
        Promise(printer="Small bed", printer_hours=40),
        Promise(people_hours=6),
    )
    assert calendar_of(shop) == CALENDAR


def test_what_is_under_way_is_told_from_what_waits():
    taken = {("printer minutes", "Small bed"): 240_000, ("people minutes", "assembly"): 18_000}
    going = {("printer minutes", "Small bed"): 60_000, ("people minutes", "assembly"): 18_000}
    assert shop_state(CALENDAR, taken, {}, under_way=going).promised == (
        Promise(printer="Small bed", printer_hours=10, under_way=True),
        Promise(people_hours=3, under_way=True),
        Promise(printer="Small bed", printer_hours=30),
    )


def test_nothing_taken_is_the_calendar_alone():
    assert shop_state(Calendar(), {}, {}) == ShopState()
    assert {field.name for field in fields(ShopState)} - {field.name for field in fields(Calendar)} == {
        "stock",
        "promised",
        "van_out",
    }
