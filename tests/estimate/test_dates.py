"""Dates of what was frozen: those that it had, as of another day, and on the printers that there are."""

import json
from dataclasses import replace
from datetime import date, timedelta

import pytest

from studio.document import canonical
from studio.estimate.dates import frozen_dates
from studio.estimate.estimate import estimate
from studio.estimate.example import example_question
from studio.estimate.making_report import making_report
from studio.making.shop import Promise, Stock
from studio.making.working_days import working_days_of
from studio.problem import Refused

QUESTION = example_question()
BOOK, SHOP = QUESTION.rate_book, QUESTION.shop_state
MAY = date(2026, 5, 6)
BUSY = replace(SHOP, promised=(Promise(printer=BOOK.printers[0].name, printer_hours=300, people_hours=90),))


@pytest.fixture(scope="module")
def making():
    found = estimate(QUESTION.brief, BOOK, SHOP, QUESTION.as_of)
    return json.loads(canonical(making_report(found, BOOK)))


@pytest.mark.parametrize(("shop", "as_of"), [(SHOP, QUESTION.as_of), (BUSY, QUESTION.as_of), (BUSY, MAY)])
def test_the_frozen_dates_are_those_of_the_estimate(making, shop, as_of):
    assert frozen_dates(making, BOOK, shop, as_of) == estimate(QUESTION.brief, BOOK, shop, as_of).dates


def test_what_was_sold_meanwhile_makes_it_later(making):
    then, now = (frozen_dates(making, BOOK, shop, MAY) for shop in (SHOP, BUSY))
    assert then.starts_on == now.starts_on
    assert then.held_on < now.held_on


def test_a_printer_that_is_gone(making):
    used = {plate["printer"] for plate in making["plates"]}
    left = replace(BOOK, printers=tuple(replace(each, name="Kept") for each in BOOK.printers[:1]))
    with pytest.raises(Refused) as caught:
        frozen_dates(making, left, SHOP, MAY)
    assert [problem.field for problem in caught.value.problems] == ["making.plates"] * len(used)
    assert all(any(f"“{name}”" in str(problem) for problem in caught.value.problems) for name in used)


def slow(**days: int):
    """The rate book with these filaments, and nothing else, to be waited for."""
    return replace(
        BOOK,
        filaments=tuple(replace(each, lead_days=days.get(each.name, 0)) for each in BOOK.filaments),
        bought=tuple(replace(each, lead_days=0) for each in BOOK.bought),
    )


@pytest.mark.parametrize("name", ["Walnut", "Indigo"])
def test_a_filament_that_has_to_be_bought_is_waited_for_and_named(making, name):
    """The shelf has less of it than the panel takes, then more, then more that others are promised."""
    book = slow(**{name: 90})
    short = frozen_dates(making, book, SHOP, QUESTION.as_of)
    assert [(wait.name, wait.days, wait.needed_for) for wait in short.waits] == [(name, 90, "printing")]
    assert short.printed_on >= short.starts_on + timedelta(days=90)
    full = replace(SHOP, stock=(Stock(filament=name, shelf_g=9000),))
    assert frozen_dates(making, book, full, QUESTION.as_of).waits == ()
    promised = replace(SHOP, stock=(Stock(filament=name, shelf_g=9000, promised_g=8900),))
    assert frozen_dates(making, book, promised, QUESTION.as_of) == short


def test_what_is_on_the_shelf_is_not_waited_for(making):
    (tea,) = (row["mass_g"] for row in making["filaments"] if row["filament"] == "Tea")
    assert tea < 600 == SHOP.stock[0].shelf_g
    assert frozen_dates(making, slow(Tea=90), SHOP, QUESTION.as_of).waits == ()


def test_things_that_are_not_in_it_are_not_waited_for(making):
    lit = replace(
        BOOK, bought=tuple(replace(each, lead_days=80 * (each.group == "light")) for each in BOOK.bought)
    )
    assert not {wait.name for wait in frozen_dates(making, lit, SHOP, MAY).waits} & {
        each.text for each in BOOK.bought
    }
    sheet = replace(
        BOOK, bought=tuple(replace(each, lead_days=80 * (each.code == "sheet")) for each in BOOK.bought)
    )
    (wait,) = frozen_dates(making, sheet, SHOP, MAY).waits
    assert (wait.name, wait.needed_for) == ("Backing sheet, 3 mm board", "making")


def test_a_change_of_filament_takes_its_minutes_from_the_printer(making):
    """On one printer of each kind, each of its filaments once, where no plate fails."""
    alone = tuple(replace(each, count=1, change_minutes=0) for each in BOOK.printers)
    slow = tuple(replace(each, change_minutes=240) for each in alone)
    kinds = {(plate["printer"], plate["filament"]) for plate in making["plates"]}
    assert len(kinds) > 2

    def minutes(printers):
        book = replace(BOOK, printers=printers, failures_per_hour=0)
        runs = frozen_dates(making, book, SHOP, MAY).runs
        return sum((run.ends - run.starts).total_seconds() / 60 for run in runs)

    assert minutes(slow) == pytest.approx(minutes(alone) + 240 * len(kinds), abs=0.1)


def test_a_carrier_is_on_the_road_as_long_as_its_slowest_parcel():
    """Its days are those of the row that takes the parcel, also as frozen; collected, there are none."""
    brief = replace(QUESTION.brief, terms=replace(QUESTION.brief.terms, delivery="sent by carrier"))
    slow = replace(BOOK, carrier=tuple(replace(row, days=n) for n, row in enumerate(BOOK.carrier, 3)))
    found = estimate(brief, slow, SHOP, QUESTION.as_of)
    used = {line.text for line in found.price.lines if line.code.startswith("carrier.")}
    days = max(row.days for row in slow.carrier if row.text in used)
    works = working_days_of(SHOP)
    assert works.between(found.dates.held_on, found.dates.hung_from) == days
    making = json.loads(canonical(making_report(found, slow)))
    assert frozen_dates(making, slow, SHOP, QUESTION.as_of) == found.dates
    assert estimate(brief, BOOK, SHOP, QUESTION.as_of).dates.hung_from is None
