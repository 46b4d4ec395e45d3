"""A commission with an approved option, priced by the real line, and what is typed of a payment for it."""

from datetime import date
from decimal import Decimal

import pytest
from django.utils import timezone

from studio.ids import new_public_id
from studio.jobs.paying import Received
from studio.proposals.deciding import decide
from studio.proposals.models import Decision, ProposalIssue
from studio.workshop.clock import today
from tests.proposals.conftest import _quick, commission, issue, link, ms_adeyemi, yes_to  # noqa: F401


def approve(of: ProposalIssue, letter: str = "A") -> Decision:
    return decide(of, yes_to(of, letter), timezone.now())


def typed(amount: str = "100.00", stage: int = 1, on: date | None = None, **more: str) -> Received:
    told = {"key": new_public_id(), "reference": "", **more}
    return Received(stage=stage, amount=Decimal(amount), received_on=on or today(), **told)


@pytest.fixture
def yes(issue):  # noqa: F811
    return approve(issue)
