"""The yes that says what is sold."""

from studio.commissions.models import Commission
from studio.problem import Conflict
from studio.proposals.models import Decision

__all__ = ["newest_yes", "still_sold"]

DOCUMENTS = [f"issue__{name}" for name in ("figures", "parties", "drawings", "pdf", "making", "costs")]
DOCUMENTS += ["taping__figures", "taping__making"]
"""What a list of what is sold need not read."""


def newest_yes(commission: Commission) -> Decision | None:
    """The one that says what is sold: a variation's replaces the one before."""
    found = Decision.objects.filter(proposal__commission=commission, answer=Decision.Answer.APPROVED)
    rows = found.select_related("proposal", "issue", "cancellation", "release", "taping").defer(*DOCUMENTS)
    return rows.order_by("-proposal__place").first()


def still_sold(yes: Decision, commission: Commission, field: str) -> Decision:
    """A yes as it is by now, of a commission that was locked since it was loaded. Raises Conflict where
    another one has taken its place."""
    now = newest_yes(commission)
    if now is None or now.pk != yes.pk:
        raise Conflict.because(field, "another option is sold by now", "look at it, then go on")
    return now
