"""What is offered: plates follow the workshop's hours, the price knows nothing of its queue."""

from contextlib import nullcontext
from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from functools import cache

import pytest

from studio.estimate.dates import dates_of
from studio.estimate.estimate import estimate
from studio.estimate.example import example_question
from studio.estimate.makings import makings
from studio.estimate.priced import Priced, price_up
from studio.lattice.design import Space
from studio.making.plan import MakingPlan, make
from studio.making.plates import plates_for
from studio.making.shop import Hours, Promise, ShopState, Stock
from studio.pricing.quantities import count
from studio.problem import Refused

QUESTION = example_question()
BOOK, SHOP = replace(QUESTION.rate_book, day_weight=None), QUESTION.shop_state
"""A day weighs its overhead, which cuts plates for it."""
PLAIN = replace(SHOP, stock=())
BUSY = replace(
    SHOP,
    stock=tuple(Stock(filament=filament.name, shelf_g=20_000) for filament in BOOK.filaments),
    promised=tuple(Promise(printer=p.name, printer_hours=150, people_hours=40) for p in BOOK.printers),
    days_off=tuple(date(2026, 3, 5) + timedelta(days=n) for n in range(12)),
)


def brief(depth_mm: int):
    return replace(QUESTION.brief, design=replace(QUESTION.brief.design, depth_mm=Decimal(depth_mm)))


@cache
def priced(depth_mm: int, shop: ShopState = SHOP) -> Priced:
    return price_up(brief(depth_mm), BOOK, shop)


def evened(found: Priced) -> MakingPlan:
    """The plates as they would be without a calendar."""
    plates = plates_for(found.bill.parts, BOOK.printers, BOOK.filaments)
    return make(found.bill, BOOK.printers, BOOK.filaments, BOOK.failures_per_hour, {}, plates=plates)


@pytest.mark.parametrize("depth_mm", [12, 30])
def test_stock_and_promises_do_not_touch_the_price(depth_mm: int) -> None:
    plain, busy = priced(depth_mm, PLAIN), priced(depth_mm, BUSY)
    assert plain.plan.plates == busy.plan.plates
    assert plain.sheet == busy.sheet
    assert [use.spools_to_buy for use in busy.plan.filaments] == [0] * len(busy.plan.filaments)
    assert any(use.spools_to_buy for use in plain.plan.filaments)


def test_nor_does_the_day_of_asking() -> None:
    found = [estimate(brief(12), BOOK, SHOP, date(2026, 3, day)) for day in (2, 9, 16, 23)]
    assert len({each.price.gross for each in found}) == 1
    assert len({each.plan.plates for each in found}) == 1
    assert len({each.dates.ready_on for each in found}) > 1


def test_the_plates_of_the_example_are_cut_for_an_earlier_day() -> None:
    found = priced(12)
    plan = evened(found)
    even = replace(
        found, plan=plan, quantities=count(found.bill, plan, brief(12).design, QUESTION.brief.terms)
    )
    full = replace(SHOP, stock=tuple(Stock(filament=each.name, shelf_g=9000) for each in BOOK.filaments))
    then, now = (dates_of(each, BOOK, full, QUESTION.as_of) for each in (even, found))
    assert now.printed_on < then.printed_on
    assert now.held_on <= then.held_on


def test_hours_of_the_rate_book_may_change_its_plates() -> None:
    # Somebody is there all day and all night: none need be cut short for the evening.
    always = Hours(attended_from_hour=0, attended_to_hour=24)
    found = price_up(brief(30), replace(BOOK, hours=always), SHOP)
    assert found.plan.plates == evened(found).plates
    assert found.plan.plates != priced(30).plan.plates


def test_other_hours_of_the_workshop_leave_the_price_of_an_option_alone() -> None:
    always = replace(SHOP, attended_from_hour=0.0, attended_to_hour=24.0)
    assert priced(12, always).sheet == priced(12).sheet


def test_hours_in_which_nothing_is_made_still_have_a_price() -> None:
    never = Hours(attended_from_hour=9, attended_to_hour=9)
    found = price_up(brief(12), replace(BOOK, hours=never), SHOP)
    assert found.plan.plates == evened(found).plates
    assert found.sheet.net > 0


HALL = Space(widths_mm=(Decimal(20_000),), heights_mm=(Decimal(6_000),), mounting="free-standing")
"""With cells of 160 mm: 8,580 plates."""


def test_a_panel_of_too_many_plates_is_refused_before_it_is_made() -> None:
    design = replace(QUESTION.brief.design, cell_side_mm=Decimal(160))
    with pytest.raises(Refused) as caught:
        price_up(replace(QUESTION.brief, design=design, space=HALL), BOOK, SHOP)
    (problem,) = caught.value.problems
    assert problem.field == "brief.design.columns"
    assert "more than the 3,000 plates" in problem.reason


def test_the_most_plates_have_a_price_and_a_date(monkeypatch: pytest.MonkeyPatch) -> None:
    plates = [len(each.plan.plates) for each in makings(priced(30).composition, brief(30), BOOK, SHOP)]
    for most, refused in ((max(plates), False), (min(plates) - 1, True)):
        monkeypatch.setattr("studio.making.plates.MOST_PLATES", most)
        with pytest.raises(Refused, match="several panels") if refused else nullcontext():
            assert price_up(brief(30), BOOK, SHOP).sheet == priced(30).sheet
