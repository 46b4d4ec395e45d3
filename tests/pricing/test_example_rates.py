"""The example rate book prices a usual panel in a usual range, and says that its rates are examples."""

import re
from decimal import Decimal

import pytest

from studio.document import canonical, parse_json
from studio.pricing.example_rates import example_rate_book
from studio.pricing.price import price
from studio.pricing.rate_book import RateBook
from studio.pricing.terms import Terms
from tests.pricing.by_hand import quantities

D = Decimal
COLOURS = ("Tea", "Indigo", "Chalk", "Moss", "Sand")


def a_usual_panel(**changes):
    """About 1.2 m by 0.75 m in six colours: grams and minutes guessed (common practice, no source)."""
    counts = {
        "plate": 32,
        "infill": 1050,
        "section": 12,
        "seam_key": 120,
        "module": 1,
        "edged_module": 1,
        "colour": 6,
        "square_metre": "0.9",
        "hanger": 4,
        "backed_panel": 1,
        "sheet_square_metre": "0.88",
    }
    return quantities(
        grams={**dict.fromkeys(COLOURS, (700, 15, 40)), "Walnut": (3600, 20, 150)},
        minutes={"Small bed": 7200, "Large bed": 2400},
        reprints={"Small bed": 300, "Large bed": 100},
        **counts | changes,
    )


@pytest.mark.parametrize(
    ("delivery", "counts"),
    [
        ("collected", {}),
        ("delivered", {"delivery": 1, "kilometre": 36}),
        ("delivered and hung", {"delivery": 1, "kilometre": 36, "hanging": 1}),
    ],
)
def test_a_usual_panel_costs_what_the_trade_would_expect(delivery, counts) -> None:
    """Below hand-made timber panels, which sell for about 2,700 US dollars and more (common practice, no
    source)."""
    found = price(a_usual_panel(**counts), example_rate_book(), Terms(delivery=delivery))
    assert 700 < found.gross < 2600
    assert found.gross % 5 == 0
    assert 34 < found.margin_percent < 36


def test_light_costs_more_and_has_a_heading_of_its_own() -> None:
    plain, lit = a_usual_panel(), a_usual_panel(lit_panel=1, light_metre="12.5")
    book = example_rate_book()
    with_light = price(lit, book, Terms())
    assert with_light.net > price(plain, book, Terms()).net
    assert [line.code for line in with_light.client_lines] == ["panel", "light", "backing", "rounding"]


def test_the_book_reads_back_as_it_was_written() -> None:
    book = example_rate_book()
    assert parse_json(RateBook, canonical(book)) == book


def test_colours_and_codes_are_plain_and_different() -> None:
    book = example_rate_book()
    assert len({filament.colour for filament in book.filaments}) == len(book.filaments) == 8
    assert all(re.fullmatch("[A-Z][a-z]+", filament.name) for filament in book.filaments)
    stages = {operation.stage for operation in book.operations}
    assert stages == {"before", "making", "after", "site"}


def test_every_rate_is_called_an_example() -> None:
    sheet = price(a_usual_panel(), example_rate_book(), Terms())
    origins = {item.origin for line in sheet.lines for item in line.working.inputs}
    assert origins == {"example rate", "counted", "computed"}
