"""From approval on, what was sold does not change, but while a variation of it is open."""

from datetime import date

from studio.commissions.models import Commission
from studio.problem import Refused

__all__ = ["is_closed", "is_late", "is_sold", "is_varied", "refuse_closed"]

SOLD = {Commission.Stage.APPROVED, Commission.Stage.MAKING}
OVER = {Commission.Stage.HANDED_OVER, Commission.Stage.CANCELLED}


def is_closed(commission: Commission) -> bool:
    return commission.stage in OVER or (commission.stage in SOLD and not is_varied(commission))


def is_sold(commission: Commission) -> bool:
    """And not handed over yet."""
    return commission.stage in SOLD


def is_late(commission: Commission, today: date) -> bool:
    """Whether the day has passed by which it was to be ready, and it is not handed over."""
    return is_sold(commission) and commission.due_on is not None and commission.due_on < today


def is_varied(commission: Commission) -> bool:
    """Whether a variation of what was sold is open."""
    return commission.before_variation is not None


def refuse_closed(commission: Commission) -> None:
    """Raises Refused once an option of the commission is approved."""
    if commission.stage in OVER:
        reason = f"this commission is {commission.get_stage_display().lower()}"
        raise Refused.because("options", reason, "start a new commission for anything more")
    if is_closed(commission):
        raise Refused.because(
            "options",
            "an option of this commission is approved",
            "begin a variation on its proposal’s page, or start a new commission for anything more",
        )
