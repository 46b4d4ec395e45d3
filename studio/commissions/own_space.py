"""The space of one commission, apart from that of another which is sold for it as it stands."""

from collections.abc import Iterable

from studio.clients.models import Photograph, Space
from studio.commissions.closed import is_closed
from studio.commissions.models import Commission
from studio.ids import new_public_id

__all__ = ["own_space"]


def own_space(commission: Commission, together: Iterable[Commission]) -> Space:
    """The row of its space, held, to be changed: where a panel of another of the locked commissions
    `together` is sold for the space, a copy with its photographs that is this commission's alone."""
    space = Space.objects.select_for_update().get(pk=commission.space_id)
    if not any(is_closed(each) for each in together if each.pk != commission.pk):
        return space
    photographs = list(space.photographs.all())
    rows: list[Space | Photograph] = [space, *photographs]
    for row in rows:
        row.pk, row.public_id, row._state.adding = None, new_public_id(), True
    space.save()
    for photograph in photographs:
        photograph.space = space
    Photograph.objects.bulk_create(photographs)
    commission.space = space
    commission.save(update_fields=["space"])
    return space
