"""The order of things, asked of the database itself by SQL that no service wrote."""

import json
from decimal import Decimal
from importlib import import_module
from types import SimpleNamespace
from typing import Any
from unittest.mock import MagicMock

import pytest
from django.db import IntegrityError, connection, transaction
from django.utils import timezone

from studio.proposals.deciding import decide
from studio.proposals.issuing import issue_proposal, withdraw_issue
from studio.proposals.models import Cancellation, Decision, IssuedOption, Proposal, ProposalIssue, Release
from studio.proposals.selling import begin_variation, cancel
from studio.workshop.clock import today
from tests.proposals.conftest import add_option, make_commission, small_design, yes_to


def insert(table: str, **values: Any) -> None:
    columns, marks = ", ".join(values), ", ".join(["%s"] * len(values))
    with transaction.atomic(), connection.cursor() as cursor:
        sql = f"INSERT INTO proposals_{table} ({columns}) VALUES ({marks})"
        cursor.execute(sql, list(values.values()))


def refused(rule: str, table: str, **values: Any) -> None:
    with pytest.raises(IntegrityError, match=rule):
        insert(table, **values)


def yes(issue: ProposalIssue, letter: str = "A") -> dict[str, Any]:
    offered = issue.offered.get(letter=letter)
    return {
        "issue_id": issue.pk, "proposal_id": issue.proposal_id, "answer": "approved", "letter": letter,
        "currency": offered.currency, "gross_minor": offered.gross_minor, "agreed_on": today(),
        "agreed_days": 9, "how": "page", "seal": issue.seal, "said_on": today(), "at": timezone.now(),
    }  # fmt: skip


@pytest.fixture
def sold(issue):
    return decide(issue, yes_to(issue), timezone.now())


def test_a_yes_to_what_is_offered_is_taken(issue):
    insert("decision", **yes(issue))
    assert Decision.objects.get().issue == issue


def test_a_no_names_neither_day_nor_days(issue):
    no = {**yes(issue), "answer": "declined", "letter": "", "gross_minor": None, "currency": ""}
    refused("agrees to working days", "decision", **{**no, "agreed_on": None})
    refused("agrees to working days", "decision", **{**no, "agreed_days": None})
    insert("decision", **{**no, "agreed_on": None, "agreed_days": None})


@pytest.mark.parametrize("wrong", ["letter", "price", "a penny", "currency", "letter that is not offered"])
def test_another_option_or_price_is_refused(issue, wrong):
    right, other = yes(issue), issue.offered.get(letter="B").gross_minor
    assert right["gross_minor"] != other
    changed = {
        "letter": {"letter": "B"},
        "price": {"gross_minor": other},
        "a penny": {"gross_minor": right["gross_minor"] - 1},
        "currency": {"currency": "EUR"},
        "letter that is not offered": {"letter": "C"},
    }[wrong]
    refused("has an option and price of its issue", "decision", **{**right, **changed})
    assert not Decision.objects.exists()


def test_a_yes_without_its_working_days_is_refused_and_one_without_a_day_is_not(issue):
    refused("agrees to working days", "decision", **{**yes(issue), "agreed_days": None})
    insert("decision", **{**yes(issue), "agreed_on": None})


def test_a_withdrawn_issue_is_not_decided(issue):
    withdraw_issue(issue, None, timezone.now())
    refused("is of an issue that stands", "decision", **yes(issue))


def test_a_replaced_issue_is_not_decided(issue, commission, owner):
    issue_proposal(commission, ("A",), owner, timezone.now())
    refused("is of an issue that stands", "decision", **yes(issue))


def test_another_proposals_issue_is_not_decided(issue, ms_adeyemi, owner):
    other = make_commission(ms_adeyemi)
    add_option(other, "A", small_design())
    elsewhere = issue_proposal(other, ("A",), owner, timezone.now())
    wrong = {**yes(issue), "proposal_id": elsewhere.proposal_id}
    refused("has the proposal and the seal of its issue", "decision", **wrong)


def test_nothing_is_decided_after_a_cancellation(sold, commission, owner):
    begin_variation(commission, owner, timezone.now())
    commission.refresh_from_db()
    made = issue_proposal(commission, ("A",), owner, timezone.now())
    ended = {"decision_id": sold.pk, "owed_minor": 0, "currency": "GBP", "at": timezone.now()}
    insert("cancellation", **ended)
    refused("comes before a cancellation", "decision", **yes(made))


def test_an_option_is_not_added_to_an_issue_that_went_out(issue):
    more = {"issue_id": issue.pk, "letter": "C", "currency": "GBP", "gross_minor": 1}
    refused("is complete once its issue has a link", "issuedoption", **more)
    for act in (
        lambda: IssuedOption.objects.update(gross_minor=1),
        lambda: IssuedOption.objects.all()._raw_delete("default"),
    ):
        with pytest.raises(IntegrityError), transaction.atomic():
            act()


def test_a_second_proposal_follows_a_yes(issue, commission):
    second = {
        "commission_id": commission.pk, "place": 2, "year": 2026, "sequence": 9000,
        "created_at": timezone.now(),
    }  # fmt: skip
    refused("follows a yes", "proposal", **second)
    refused("one_proposal_per_place|place", "proposal", **{**second, "place": 1})
    decide(issue, yes_to(issue), timezone.now())
    insert("proposal", **second)
    assert Proposal.objects.count() == 2


def test_only_what_is_sold_is_cancelled_or_released(sold, issue, commission, owner):
    now = timezone.now()
    ended = {"decision_id": sold.pk, "owed_minor": 5, "currency": "GBP", "at": now}
    refused("of the newest yes", "cancellation", **{**ended, "currency": "EUR"})
    refused("nothing_less_is_owed", "cancellation", **{**ended, "owed_minor": -1})
    begin_variation(commission, owner, now)
    commission.refresh_from_db()
    made = issue_proposal(commission, ("A", "B"), owner, now)
    second = decide(made, yes_to(made, "B"), now)
    refused("of the newest yes", "cancellation", **ended)
    refused("of the newest yes", "release", decision_id=sold.pk, final_on=today(), at=now)
    insert("cancellation", **{**ended, "decision_id": second.pk})
    refused("of the newest yes, not cancelled", "release", decision_id=second.pk, final_on=today(), at=now)


@pytest.mark.parametrize(
    ("model", "change"),
    [
        (Cancellation, {"owed_minor": 1}),
        (Cancellation, {"who": "Somebody"}),
        (Cancellation, {"currency": "EUR"}),
        (Release, {"final_on": "2099-01-01"}),
        (Decision, {"agreed_on": "2099-01-01"}),
        (Decision, {"agreed_days": 8}),
        (Proposal, {"place": 7}),
    ],
)
def test_what_was_written_stays(sold, commission, owner, model, change):
    insert("release", decision_id=sold.pk, final_on=today(), at=timezone.now())
    cancel(commission, "Ms Adeyemi", "No room", Decimal(0), owner, timezone.now())
    for act in (lambda: model.objects.update(**change), lambda: model.objects.all()._raw_delete("default")):
        with pytest.raises(IntegrityError), transaction.atomic():
            act()
    Cancellation.objects.update(who=None, why=None)


@pytest.mark.parametrize("gross", ["1 2.00", "", None, "1.001"])
def test_options_of_damaged_figures_are_left_out(gross):
    carried = import_module("studio.proposals.migrations.0004_options_of_old_issues")
    figures = [
        {"currency": "GBP", "options": [{"letter": "A", "estimate": {"gross": g}}]} for g in (gross, "5.00")
    ]
    issues, offered = MagicMock(), MagicMock()
    kept = [SimpleNamespace(figures=json.dumps(each).encode()) for each in figures]
    issues.objects.only.return_value.order_by.return_value.iterator.return_value = kept
    models = {"ProposalIssue": issues, "IssuedOption": offered}
    carried.carry_over(SimpleNamespace(get_model=lambda _app, name: models[name]), None)
    offered.objects.model.assert_called_once_with(issue=kept[1], letter="A", currency="GBP", gross_minor=500)
