"""How long an estimate takes: the example, and a panel of 3,000 cells."""

from dataclasses import replace
from decimal import Decimal

import pytest

from studio.estimate.estimate import estimate
from studio.estimate.example import example_question
from studio.estimate.report import report

QUESTION = example_question()
LARGE = replace(
    QUESTION.brief,
    space=replace(QUESTION.brief.space, widths_mm=(Decimal(2060),), heights_mm=(Decimal(1250),)),
)


@pytest.mark.parametrize("brief", [QUESTION.brief, LARGE], ids=["example", "3000-cells"])
def test_estimate(benchmark, brief):
    found = benchmark.pedantic(
        estimate, (brief, QUESTION.rate_book, QUESTION.shop_state, QUESTION.as_of), rounds=20, warmup_rounds=1
    )
    assert found.price.gross > 0


def test_report(benchmark):
    found = estimate(QUESTION.brief, QUESTION.rate_book, QUESTION.shop_state, QUESTION.as_of)
    assert benchmark(report, found)["gross"] == str(found.price.gross)
