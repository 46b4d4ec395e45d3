"""Taking an issue back before anybody has decided on it."""

from datetime import datetime

from django.db import transaction

from studio.commissions.locks import locked_commission
from studio.proposals.models import Decision, ProposalIssue

__all__ = ["withdraw_issue"]


@transaction.atomic
def withdraw_issue(issue: ProposalIssue, now: datetime) -> bool:
    """False when there is nothing to take back: it is decided, replaced or withdrawn."""
    locked_commission(issue.proposal.commission_id)
    if Decision.objects.filter(issue=issue).exists():
        return False
    standing = ProposalIssue.objects.filter(pk=issue.pk, state=ProposalIssue.State.ISSUED)
    taken_back = standing.update(state=ProposalIssue.State.WITHDRAWN)
    issue.links.filter(revoked_at=None).update(revoked_at=now)
    return bool(taken_back)
