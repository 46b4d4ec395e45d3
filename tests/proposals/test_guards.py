"""What was sent cannot be changed, not even by code that tries."""

from datetime import timedelta

import pytest
from django.db import IntegrityError, connection, transaction
from django.utils import timezone

from studio.proposals.deciding import decide
from studio.proposals.models import Decision, Letter, Link, Proposal, ProposalIssue
from studio.proposals.sending import send_issue
from studio.proposals.stored import read
from studio.workshop.clock import today
from tests.proposals.conftest import make_commission, yes_to


@pytest.fixture
def decided(issue, link):
    send_issue(link, "http://studio.example/p/x/", None, timezone.now())
    return decide(issue, yes_to(issue), timezone.now(), link=link)


def refused(act):
    with pytest.raises(IntegrityError), transaction.atomic():
        act()


@pytest.mark.parametrize("model", [Proposal, ProposalIssue, Link, Letter, Decision])
def test_no_row_can_be_deleted(decided, model):
    refused(lambda: model.objects.all()._raw_delete("default"))
    assert model.objects.exists()


@pytest.mark.parametrize(
    ("model", "change"),
    [
        (Proposal, {"sequence": 9}),
        (ProposalIssue, {"figures": b"{}"}),
        (ProposalIssue, {"drawings": b"x"}),
        (ProposalIssue, {"making": b"x"}),
        (ProposalIssue, {"making": None}),
        (ProposalIssue, {"costs": b"x"}),
        (ProposalIssue, {"costs": None}),
        (ProposalIssue, {"parties": b"{}"}),
        (ProposalIssue, {"pdf": b"%PDF-"}),
        (ProposalIssue, {"seal": "0" * 64}),
        (ProposalIssue, {"figures_sha256": "0" * 64}),
        (ProposalIssue, {"valid_until": "2099-01-01"}),
        (ProposalIssue, {"number": 2}),
        (Link, {"token": "guessed"}),
        (Decision, {"letter": "B"}),
        (Decision, {"gross_minor": 1}),
        (Decision, {"person": {"who": "Somebody"}}),
        (Decision, {"seal": "0" * 64}),
        (Letter, {"id": 99}),
    ],
)
def test_what_was_written_stays(decided, model, change):
    refused(lambda: model.objects.update(**change))


def test_a_decided_issue_is_not_withdrawn_or_replaced(decided):
    for state in ("withdrawn", "superseded"):
        refused(lambda state=state: ProposalIssue.objects.update(state=state))


def test_an_issue_has_making_and_costs_from_schema_2_on(issue):
    ProposalIssue.objects.update(state="superseded")
    fields = {"pk": None, "public_id": "another-one", "number": 2}
    for wrong in ({"making": None}, {"costs": None}, {"schema": 1}, {"schema": 1, "making": None}):
        another = ProposalIssue.objects.get()
        for name, value in (fields | wrong).items():
            setattr(another, name, value)
        refused(another.save)
    another.costs = None
    another.save()
    assert read(another).letters == ("A", "B")


def test_an_issue_ends_once(issue):
    assert ProposalIssue.objects.update(state="withdrawn") == 1
    for state in ("issued", "superseded"):
        refused(lambda state=state: ProposalIssue.objects.update(state=state))


def test_a_link_is_closed_once(link):
    assert Link.objects.update(revoked_at=timezone.now()) == 1
    for at in (None, timezone.now() + timedelta(hours=1)):
        refused(lambda at=at: Link.objects.update(revoked_at=at))


def test_a_decision_has_the_proposal_and_seal_of_its_issue(issue, ms_adeyemi):
    other = Proposal.objects.create(commission=make_commission(ms_adeyemi), year=1999, sequence=1)
    fits = {
        "issue": issue, "proposal_id": issue.proposal_id, "answer": "declined", "how": "page",
        "seal": issue.seal, "said_on": today(), "at": timezone.now(),
    }  # fmt: skip
    for wrong in ({"seal": "0" * 64}, {"proposal_id": other.pk}):
        refused(Decision(**{**fits, **wrong}).save)
    Decision(**fits).save()


def test_no_row_is_replaced(decided):
    insert = "INSERT OR REPLACE INTO" if connection.vendor == "sqlite" else "INSERT INTO"
    for table in ("proposalissue", "decision", "link", "letter"):
        with connection.cursor() as cursor:
            again = f"{insert} proposals_{table} SELECT * FROM proposals_{table}"
            refused(lambda again=again, cursor=cursor: cursor.execute(again))
