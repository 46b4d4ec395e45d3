"""What was sent cannot be changed, not even by code that tries."""

import pytest
from django.db import IntegrityError, transaction
from django.utils import timezone

from studio.proposals.deciding import decide
from studio.proposals.models import Decision, Link, Message, Proposal, ProposalIssue
from studio.proposals.standing import Answer
from studio.workshop.clock import today


@pytest.fixture
def decided(issue, link):
    Message.objects.create(issue=issue, link=link, text="How thick is it?")
    answer = Answer("approved", "A", "Ms Adeyemi", "the owner", "page", issue.seal, today())
    return decide(issue, answer, timezone.now(), link=link)


def refused(act):
    with pytest.raises(IntegrityError), transaction.atomic():
        act()


@pytest.mark.parametrize("model", [Proposal, ProposalIssue, Link, Decision, Message])
def test_no_row_can_be_deleted(decided, model):
    refused(lambda: model.objects.all()._raw_delete("default"))
    assert model.objects.exists()


@pytest.mark.parametrize(
    ("model", "change"),
    [
        (Proposal, {"sequence": 9}),
        (ProposalIssue, {"figures": b"{}"}),
        (ProposalIssue, {"drawings": b"x"}),
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
        (Message, {"text": "Never mind"}),
    ],
)
def test_what_was_written_stays(decided, model, change):
    refused(lambda: model.objects.update(**change))


def test_states_and_links_may_end(decided):
    assert ProposalIssue.objects.update(state="withdrawn") == 1
    assert Link.objects.update(revoked_at=timezone.now()) == 1
