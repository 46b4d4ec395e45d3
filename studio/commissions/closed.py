"""From approval on, what was sold does not change."""

from studio.commissions.models import Commission
from studio.problem import Refused

__all__ = ["is_closed", "refuse_closed"]

CLOSED = {Commission.Stage.APPROVED, Commission.Stage.MAKING, Commission.Stage.HANDED_OVER}


def is_closed(commission: Commission) -> bool:
    return commission.stage in CLOSED


def refuse_closed(commission: Commission) -> None:
    """Raises Refused once an option of the commission is approved."""
    if is_closed(commission):
        raise Refused.because(
            "options", "an option of this commission is approved", "start a new commission for anything more"
        )
