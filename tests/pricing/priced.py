"""The example option, priced."""

from functools import cache

from studio.estimate.example import example_question
from studio.estimate.priced import price_up
from studio.pricing.sheet import PriceSheet

__all__ = ["BOOK", "TERMS", "sheet_of"]

QUESTION = example_question()
BOOK, TERMS = QUESTION.rate_book, QUESTION.brief.terms


@cache
def sheet_of() -> PriceSheet:
    return price_up(QUESTION.brief, BOOK, QUESTION.shop_state).sheet
