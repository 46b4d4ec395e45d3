"""The stock: what came onto the shelf and went from it, summed by the database."""

from collections.abc import Mapping
from typing import Any

from django.db import transaction
from django.db.models import QuerySet, Sum, Value

from studio.people.models import User
from studio.problem import Refused
from studio.workshop.books import locked_studio
from studio.workshop.models import StockMovement

__all__ = ["counted", "move_stock", "shelf", "shelf_sums"]

Why = StockMovement.Why


def shelf() -> Mapping[str, int]:
    """Hundredths of a gram by filament, over all lots and spools."""
    return {filament: int(total) for _shelf, filament, total in shelf_sums()}


def shelf_sums() -> QuerySet[StockMovement, Any]:
    """The same, in rows of ("shelf", filament, hundredths of a gram)."""
    rows = StockMovement.objects.order_by().annotate(kind=Value("shelf"))
    return rows.values_list("kind", "filament").annotate(total=Sum("hundredths_g"))


@transaction.atomic
def move_stock(
    filament: str, hundredths_g: int, why: Why, key: str, *, lot: str = "", spool: str = "", by: User | None
) -> StockMovement | None:
    """Put something on the shelf, or take it off (below zero). A movement whose key is written already moves
    nothing, and is given back; None where there is nothing to move. Raises Refused for a key of something
    else."""
    locked_studio()
    if before := StockMovement.objects.filter(key=key).first():
        if before.filament != filament:
            raise Refused.because("key", f"“{key}” is a movement of {before.filament}", "a key of its own")
        return before
    return _moved(filament, hundredths_g, why, by, key=key, lot=lot, spool=spool)


@transaction.atomic
def counted(filament: str, hundredths_g: int, by: User | None) -> StockMovement | None:
    """Somebody has counted what lies on the shelf: the difference is written, None where there is none."""
    locked_studio()
    return _moved(filament, hundredths_g - shelf().get(filament, 0), Why.COUNTED, by)


def _moved(filament: str, hundredths_g: int, why: Why, by: User | None, **more: str) -> StockMovement | None:
    if not hundredths_g:
        return None
    return StockMovement.objects.create(filament=filament, hundredths_g=hundredths_g, why=why, by=by, **more)
