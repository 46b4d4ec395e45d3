"""What sets two priced options apart."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from studio.estimate.compare import compare, money_by_group
from studio.estimate.estimate import estimate
from studio.estimate.example import example_question

QUESTION = example_question()


def estimated(**changes):
    brief = replace(QUESTION.brief, design=replace(QUESTION.brief.design, **changes))
    return estimate(brief, QUESTION.rate_book, QUESTION.shop_state, date(2026, 3, 2))


FIRST = estimated()


def test_groups_add_up_to_net():
    for found in (FIRST, estimated(lit=True, backing="diffuser")):
        assert sum(share.amount for share in money_by_group(found)) == found.price.net


def test_an_option_like_itself_is_nothing_more_for_no_reason():
    found = compare(FIRST, FIRST)
    assert (found.more, found.reasons) == (0, ())


def test_larger_cells_are_less_for_fewer_pieces_and_hours():
    other = estimated(cell_side_mm=Decimal(66))
    found = compare(FIRST, other)
    assert found.more == other.price.net - FIRST.price.net < 0
    hours = sum(FIRST.plan.minutes_by_printer.values()) - sum(other.plan.minutes_by_printer.values())
    assert f"{hours / 60:.0f} h less printing" in found.reasons
    pieces = [sum(part.count for part in each.bill.infills) for each in (FIRST, other)]
    assert f"{pieces[0] - pieces[1]} fewer pieces" in found.reasons
    assert len(found.reasons) <= 4


def test_there_and_back_is_the_same_difference():
    other = estimated(depth_mm=Decimal(20))
    assert compare(FIRST, other).more == -compare(other, FIRST).more


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"backing": "none"}, "no backing"),
        ({"backing": "diffuser", "lit": True}, "a light"),
        ({"lattice_filament": "Moss"}, "1 more colour"),
    ],
)
def test_what_was_left_out_or_put_in_is_named(changes, says):
    assert says in compare(FIRST, estimated(**changes)).reasons


def test_the_consumer_reads_gross():
    terms = replace(QUESTION.brief.terms, client_kind="consumer")
    pair = [
        estimate(replace(e.brief, terms=terms), QUESTION.rate_book, QUESTION.shop_state, date(2026, 3, 2))
        for e in (FIRST, estimated(depth_mm=Decimal(20)))
    ]
    assert compare(*pair).more == pair[1].price.gross - pair[0].price.gross
