"""Which sections and plates a panel is made in: the least of cost and days together, found again by trying
all."""

from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from random import Random

import pytest

from studio.estimate.brief import Brief
from studio.estimate.makings import Making, Weighed, least, makings
from studio.estimate.priced import price_up
from studio.lattice.composition import compose
from studio.lattice.design import AllOver, Infill, Space
from studio.lattice.fit import best_fit
from studio.lattice.refit import held_to, in_lattice, seams_outside
from studio.making.cuts import days_to_make
from studio.making.shop import at_hours
from studio.pricing.labour import stage_minutes
from studio.pricing.price import price
from studio.pricing.quantities import count
from studio.pricing.rate_book import RateBook
from tests.estimate.panels import BOOK, SHOP, random_book, random_brief

EMPTY = at_hours(BOOK.hours)
SPACE = Space(widths_mm=(Decimal(1800),), heights_mm=(Decimal(900),))


def tried(brief: Brief, book: RateBook) -> Iterator[tuple[Making, Weighed]]:
    """Every making, its cost that of a whole price next door."""
    composition = compose(brief.design, best_fit(brief.design, brief.space))
    near = replace(brief.terms, distance_km=Decimal(0))
    for making in makings(composition, brief, book, SHOP):
        quantities = count(making.bill, making.plan, brief.design, near)
        minutes = stage_minutes(quantities, book)
        labour = float(minutes["before"]), float(minutes["making"] + minutes["after"])
        days = Decimal(
            days_to_make(making.plan.plates, *labour, EMPTY, book.printers, book.failures_per_hour)
        )
        cost = price(quantities, book, near).cost
        yield making, Weighed(cost, days, cost + days * Decimal("45.50"))


def question(seed: int) -> tuple[Brief, RateBook]:
    chance = Random(seed)
    brief = random_brief(chance, 900)
    return brief, replace(random_book(chance), day_weight=Decimal("45.50"))


@pytest.mark.parametrize("seed", [*range(6), 90])
def test_no_other_making_is_ready_as_early_for_less(seed: int) -> None:
    brief, book = question(seed)
    every = list(tried(brief, book))
    made = price_up(brief, book, SHOP)
    (mine,) = (found for each, found in every if each.plan.plates == made.plan.plates)
    assert len(every) > 1
    assert mine.both == min(found.both for _, found in every)
    assert not [found for _, found in every if found.days <= mine.days and found.cost < mine.cost]


def test_more_sections_that_are_ready_on_the_same_day_are_not_made() -> None:
    # By the busiest printer's hours alone there were 9 sections with 24 keys here: dearer, and no day sooner.
    brief, book = question(90)
    many = [found for each, found in tried(brief, book) if len(each.bill.sections) == 9]
    made = price_up(brief, book, SHOP)
    (mine,) = (found for each, found in tried(brief, book) if each.plan.plates == made.plan.plates)
    assert len(made.bill.sections) == 4
    assert min(found.days for found in many) == mine.days
    assert min(found.cost for found in many) > Decimal("1.05") * mine.cost


def test_a_day_that_weighs_nothing_leaves_the_least_cost_and_a_dear_one_the_earliest_day() -> None:
    brief, book = question(1)
    composition = compose(brief.design, best_fit(brief.design, brief.space))
    found = makings(composition, brief, book, SHOP)
    by_plates = {each.plan.plates: weighed for each, weighed in tried(brief, book)}
    for weight, name in ((Decimal(0), "cost"), (Decimal(10_000), "days")):
        chosen = least(found, brief.design, replace(book, day_weight=weight))
        values = [getattr(each, name) for each in by_plates.values()]
        assert getattr(by_plates[chosen.plan.plates], name) == min(values) < max(values)


def test_a_day_weighs_the_overhead_of_a_day_unless_the_studio_says_otherwise() -> None:
    # Seven hours at 8 an hour.
    hours = replace(BOOK.hours, people_hours_per_day=7)
    book = replace(BOOK, overhead_per_hour=Decimal(8), hours=hours, day_weight=None)
    assert book.weight_of_a_day == 56
    assert replace(book, day_weight=Decimal(3)).weight_of_a_day == 3


def test_sections_do_not_move_with_who_carries_the_panel() -> None:
    brief, book = question(2)
    there = replace(brief.terms, delivery="collected", distance_km=Decimal(300))
    assert (
        price_up(replace(brief, terms=there), book, SHOP).bill.sections
        == price_up(brief, book, SHOP).bill.sections
    )


def test_sections_meet_where_the_maker_says() -> None:
    # Cells of 60 mm in an opening of 800 mm: 12 columns, in 5 + 4 + 3.
    brief = random_brief(Random(3))
    design = replace(
        brief.design,
        lattice="square",
        cell_side_mm=Decimal(60),
        columns=12,
        rows=8,
        side_play_percent=Decimal(0),
        arrangement=AllOver(infill=Infill(pattern="square-hemp-leaf", filament="Tea")),
        seams_after_columns=(5, 9),
    )
    space = replace(brief.space, widths_mm=(Decimal(800),), heights_mm=(Decimal(600),))
    bill = price_up(replace(brief, design=design, space=space), BOOK, SHOP).bill
    assert sorted({(section.column, section.columns) for section in bill.sections}) == [
        (0, 5),
        (5, 4),
        (9, 3),
    ]


def test_a_fit_says_which_fixed_seams_it_has_no_place_for() -> None:
    design = replace(random_brief(Random(3)).design, lattice="square", seams_after_columns=(4, 16))
    fit = best_fit(replace(design, columns=9), SPACE)
    assert held_to(design, fit).seams_after_columns == (4,)
    assert seams_outside(design, fit) == ("without the seam after column 16",)
    carried, given_up = in_lattice(design, "diamond")
    assert not any(carried.seam_lines)
    assert "without the fixed seams" in given_up


def test_days_without_weight_and_without_end_are_no_number_to_add():
    """An example that takes more than five years at these hours, which is for the calendar to refuse."""
    hours = replace(BOOK.hours, people_hours_per_day=0.2, working_days=(6,))
    brief, book = question(1)
    large = replace(brief, space=Space(widths_mm=(Decimal(2400),), heights_mm=(Decimal(1500),)))
    found = price_up(large, replace(book, hours=hours, day_weight=Decimal(0)), SHOP)
    assert found.sheet.net > 0
