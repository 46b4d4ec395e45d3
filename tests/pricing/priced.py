"""The example option, priced."""

from functools import cache

from studio.estimate.example import example_question
from studio.estimate.offered import offered
from studio.pricing.sheet import PriceSheet

__all__ = ["BOOK", "TERMS", "sheet_of"]

QUESTION = example_question()
BOOK, TERMS = QUESTION.rate_book, QUESTION.brief.terms


@cache
def sheet_of() -> PriceSheet:
    return offered(QUESTION.brief, BOOK, QUESTION.shop_state).sheet
