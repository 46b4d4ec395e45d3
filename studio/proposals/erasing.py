"""Forgetting a person: names, addresses and evidence go, figures and decisions stay."""

from datetime import datetime

from django.db import transaction

from studio.clients.models import Client
from studio.proposals.models import Decision, Link, Message, ProposalIssue

__all__ = ["erase_parties"]


@transaction.atomic
def erase_parties(client: Client, now: datetime) -> int:
    """Empty what is personal in every issue made for `client`, and close its links. Returns the number of
    issues."""
    of_client = {"issue__proposal__commission__client": client}
    Link.objects.filter(**of_client, revoked_at=None).update(revoked_at=now)
    Decision.objects.filter(**of_client).update(person=None)
    Message.objects.filter(**of_client).update(text=None)
    issues = ProposalIssue.objects.filter(proposal__commission__client=client)
    return issues.update(parties=None, pdf=None)
