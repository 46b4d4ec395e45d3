"""Dates of what was frozen: those that it had, as of another day, and on the printers that there are."""

import json
from dataclasses import replace
from datetime import date

import pytest

from studio.document import canonical
from studio.estimate.dates import frozen_dates
from studio.estimate.estimate import estimate
from studio.estimate.example import example_question
from studio.estimate.making_report import making_report
from studio.making.shop import Promise
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
