"""The stage of a commission that its proposals have settled."""

from typing import Any

from django.dispatch import receiver

from studio.commissions.enquiry.stages import stage_asked
from studio.commissions.models import Commission
from studio.proposals.models import ProposalIssue
from studio.proposals.newest import newest_yes
from studio.workshop.clock import today

__all__ = ["settled_stage"]


@receiver(stage_asked)
def settled_stage(commission: Commission, **_more: Any) -> Commission.Stage | None:
    """By what is sold, else by whether a client may still answer; None where neither says anything."""
    sold, stage = newest_yes(commission), Commission.Stage
    if sold is None:
        standing = ProposalIssue.objects.filter(proposal__commission=commission, decision=None)
        can = standing.filter(state=ProposalIssue.State.ISSUED, valid_until__gte=today()).exists()
        return stage.PROPOSED if can else None
    if hasattr(sold, "cancellation"):
        return stage.CANCELLED
    return stage.MAKING if hasattr(sold, "release") else stage.APPROVED
