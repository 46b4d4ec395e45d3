"""The one lock that issuing, deciding and withdrawing take first: none waits for another in a ring."""

from studio.commissions.models import Commission

__all__ = ["locked_commission"]


def locked_commission(commission_id: int) -> Commission:
    """The commission as it is now, held until the transaction ends. On SQLite, where transactions that
    write follow one another, it is only read."""
    return Commission.objects.select_for_update().get(pk=commission_id)
