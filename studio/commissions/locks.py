"""The locks that whatever changes a commission takes first, always in one order: none waits in a ring."""

from studio.commissions.models import Commission

__all__ = ["locked_commission", "locked_in_space", "locked_with_others"]


def locked_commission(commission_id: int) -> Commission:
    """The commission as it is now, held until the transaction ends. On SQLite, where transactions that
    write follow one another, it is only read."""
    return Commission.objects.select_for_update().get(pk=commission_id)


def locked_with_others(commission_id: int) -> tuple[Commission, tuple[Commission, ...]]:
    """The commission and all of its space, itself among them: for what may put the space back, or give it one
    of its own, as somebody may have done while this waited."""
    own: list[Commission] = []
    while not own:
        space_id = Commission.objects.values_list("space_id", flat=True).get(pk=commission_id)
        together = locked_in_space(space_id)
        own = [each for each in together if each.pk == commission_id]
    return own[0], together


def locked_in_space(space_id: int) -> tuple[Commission, ...]:
    """All commissions for one space, held likewise: a change of the space reaches every one of them."""
    return tuple(Commission.objects.select_for_update().filter(space_id=space_id).order_by("pk"))
