"""What decides and what does not, without a database."""

from dataclasses import replace
from datetime import date

import pytest

from studio.problem import Conflict, Refused
from studio.proposals.standing import Reply, Standing, judge, why_closed

SEAL = "ab" * 32
READY = {"A": date(2026, 5, 4), "B": date(2026, 5, 8)}
STANDS = Standing(SEAL, ("A", "B"), date(2026, 3, 2), date(2026, 4, 1), "issued", ready=READY)
TODAY = date(2026, 3, 10)
YES = Reply("approved", "B", "Ms Adeyemi", "the owner", "page", SEAL, TODAY, ready_on=READY["B"])
NO = Reply("declined", "", "", "", "page", SEAL, TODAY)


def refused(answer, standing=STANDS, today=TODAY):
    with pytest.raises(Refused) as caught:
        judge(standing, answer, today)
    return caught.value


def test_a_yes_and_a_no_stand():
    judge(STANDS, YES, TODAY)
    judge(STANDS, NO, TODAY)


def test_the_last_day_counts():
    judge(STANDS, replace(YES, said_on=date(2026, 4, 1)), date(2026, 4, 1))
    late = refused(replace(YES, said_on=date(2026, 4, 2)), today=date(2026, 4, 2))
    assert isinstance(late, Conflict)


def test_what_was_said_in_time_may_be_written_down_later():
    judge(STANDS, replace(YES, how="telephone", said_on=date(2026, 4, 1)), date(2026, 4, 3))


@pytest.mark.parametrize("seal", ["", "cd" * 32, SEAL[:-1], SEAL + "0"])
def test_another_seal_is_a_conflict(seal):
    found = refused(replace(YES, seal=seal))
    assert isinstance(found, Conflict)
    assert found.problems[0].field == "seal"


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"state": "superseded"}, "later issue"),
        ({"state": "withdrawn"}, "withdrawn"),
        ({"link_open": False}, "withdrawn"),
        ({"decided": "option A was approved on 3 March"}, "option A was approved"),
    ],
)
def test_closed_issues_say_why(changed, words):
    standing = replace(STANDS, **changed)
    assert words in why_closed(standing, TODAY).reason
    assert isinstance(refused(YES, standing), Conflict)
    assert isinstance(refused(NO, standing), Conflict)


@pytest.mark.parametrize(
    ("changed", "field"),
    [
        ({"answer": "maybe"}, "answer"),
        ({"letter": ""}, "letter"),
        ({"letter": "C"}, "letter"),
        ({"who": "  "}, "who"),
        ({"who": "x" * 201}, "who"),
        ({"authority": ""}, "authority"),
        ({"authority": "x" * 201}, "authority"),
        ({"reason": "x" * 2001}, "reason"),
        ({"said_on": date(2026, 3, 1)}, "said_on"),
        ({"said_on": date(2026, 3, 11)}, "said_on"),
    ],
)
def test_an_incomplete_answer_names_its_field(changed, field):
    found = refused(replace(YES, **changed))
    assert not isinstance(found, Conflict)
    assert [problem.field for problem in found.problems] == [field]


def test_a_no_needs_neither_name_nor_authority_and_every_problem_is_told_at_once():
    judge(STANDS, NO, TODAY)
    found = refused(replace(YES, letter="", who="", authority=""))
    assert [problem.field for problem in found.problems] == ["letter", "who", "authority"]


def test_a_space_that_was_not_measured_has_no_firm_price_to_approve():
    unmeasured = replace(STANDS, measured=False)
    assert [problem.field for problem in refused(YES, unmeasured).problems] == ["letter"]
    judge(unmeasured, NO, TODAY)
