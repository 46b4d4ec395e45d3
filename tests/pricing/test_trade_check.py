"""The price of a real design beside what such work sells for."""

from dataclasses import replace
from decimal import Decimal

import pytest

from studio.estimate.example import example_question
from studio.estimate.priced import price_up
from studio.lattice.design import Band, Bands, Infill

COLOURS = ("Tea", "Indigo", "Chalk", "Moss", "Persimmon")
DEAR_POUND = Decimal("1.5")
"""US dollars for a pound, on the dear side (from memory)."""


@pytest.mark.parametrize("cell_side_mm", [Decimal(32), Decimal(38), Decimal(42)])
def test_a_panel_in_six_colours_costs_less_than_hand_made(cell_side_mm) -> None:
    """About 1.2 m by 0.75 m in six colours has one to three thousand pieces, and its price lies in the lower
    half of what hand-made timber panels sell for, about 2,700 to over 7,000 US dollars without tax (common
    practice, no source)."""
    question = example_question()
    bands = tuple(Band(infill=Infill(pattern="hemp-leaf", filament=name), cells=6) for name in COLOURS)
    design = replace(
        question.brief.design,
        cell_side_mm=cell_side_mm,
        arrangement=Bands(direction="upright", bands=bands),
    )
    found = price_up(replace(question.brief, design=design), question.rate_book, question.shop_state)
    assert found.bill.colours == 6
    assert 1000 <= sum(part.count for part in found.bill.infills) <= 3000
    assert found.sheet.net * DEAR_POUND < (2700 + 7000) / 2
