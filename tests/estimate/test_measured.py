"""The studio's own plates in a rate book: what they do to an option, and where they make no sense."""

import json
from dataclasses import replace

import pytest

from studio.document import canonical, dump, parse_json
from studio.estimate.estimate import estimate
from studio.estimate.example import example_question
from studio.estimate.priced import price_up
from studio.making.measured import Measured
from studio.pricing.rate_book import RateBook
from studio.problem import Refused

QUESTION = example_question()
BOOK = QUESTION.rate_book


def plates(minutes: float = 1.25, grams: float = 1.0) -> tuple[Measured, ...]:
    """Three plates of each printer that all came out in the same proportion."""
    return tuple(
        Measured(
            printer=printer.name,
            estimated_minutes=computed,
            measured_minutes=computed * minutes,
            estimated_g=40,
            measured_g=40 * grams,
        )
        for printer in BOOK.printers
        for computed in (100, 200, 300)
    )


def plan_with(*measured: Measured):
    """In twelve sections, whatever is measured."""
    design = replace(QUESTION.brief.design, seams_after_columns=(7, 15, 22), seams_after_rows=(11, 21))
    brief, book = replace(QUESTION.brief, design=design), replace(BOOK, measured=measured)
    return estimate(brief, book, QUESTION.shop_state, QUESTION.as_of).plan


def test_measured_minutes_and_grams_correct_an_option() -> None:
    """Plates that all took 1.25 times as long make every minute 1.25 times as long, while the longest run
    stays what it was: so the work is the same, in at least as many plates."""
    plain, slower = plan_with(), plan_with(*plates(minutes=1.25, grams=1.1))
    assert slower.panel_mass_g == pytest.approx(1.1 * plain.panel_mass_g, abs=0.05)
    assert slower.print_minutes >= 1.2 * plain.print_minutes
    used = [value for factor in slower.factors.values() for value in (factor.minutes, factor.grams)]
    assert used == pytest.approx([1.25, 1.1] * len(slower.factors))
    assert slower.factors
    assert not plain.factors


def test_two_plates_correct_nothing() -> None:
    small = [plate for plate in plates() if plate.printer == BOOK.printers[0].name]
    assert plan_with(*small[:2]).print_minutes == plan_with().print_minutes


def test_an_option_keeps_its_own_books_factors() -> None:
    """Two books beside each other: the factors of one never reach the other."""
    slow, fast = (replace(BOOK, measured=plates(minutes=times)) for times in (2, 0.5))
    first, second, again = (
        price_up(QUESTION.brief, book, QUESTION.shop_state).plan for book in (slow, fast, slow)
    )
    assert first.print_minutes == again.print_minutes > second.print_minutes


def test_refused_measurements_name_their_row() -> None:
    wrong = replace(plates()[1], measured_minutes=0)
    with pytest.raises(Refused) as caught:
        plan_with(plates()[0], wrong, *plates()[2:])
    (problem,) = caught.value.problems
    assert problem.field == "rate_book.measured.1.measured_minutes"


def test_books_from_before_anything_was_measured_are_read() -> None:
    old = dump(BOOK)
    del old["measured"]
    assert parse_json(RateBook, json.dumps(old)) == BOOK
    measured = replace(BOOK, measured=plates())
    assert parse_json(RateBook, canonical(measured)) == measured


def test_five_hundred_plates_at_most() -> None:
    many = dump(replace(BOOK, measured=plates()[:1] * 501))
    with pytest.raises(Refused) as caught:
        parse_json(RateBook, json.dumps(many))
    assert [problem.field for problem in caught.value.problems] == ["measured"]
