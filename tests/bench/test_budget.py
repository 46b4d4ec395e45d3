"""The budget search, in the request: at least 200 prices a second where nothing has to be made anew, and an
answer within a second for the example."""

from dataclasses import replace
from decimal import Decimal

from studio.estimate.budget import Budget, search
from studio.estimate.example import example_question
from studio.estimate.priced import Made, Priced, price_up

QUESTION = example_question()


def offers(made: Made):
    def priced(brief) -> Priced:
        return price_up(brief, QUESTION.rate_book, QUESTION.shop_state, made)

    return priced


def test_a_price_where_only_terms_change(benchmark):
    priced = offers({})
    priced(QUESTION.brief)
    collected = replace(QUESTION.brief, terms=replace(QUESTION.brief.terms, delivery="collected"))
    benchmark(lambda: priced(collected))


def test_a_new_cell_side(benchmark):
    sides = iter(range(40, 400))

    def anew():
        design = replace(QUESTION.brief.design, cell_side_mm=Decimal(next(sides)))
        offers({})(replace(QUESTION.brief, design=design))

    benchmark.pedantic(anew, rounds=20)


def test_a_whole_search(benchmark):
    budget = Budget(figure=Decimal(1200), basis="net")
    found = benchmark.pedantic(lambda: search(QUESTION.brief, budget, offers({})), rounds=5)
    assert found.findings
