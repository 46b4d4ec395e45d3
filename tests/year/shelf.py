"""Spools on the shelf of the simulated studio: bought with their lots, used up one after the other."""

from collections.abc import Iterator, Mapping
from datetime import date, timedelta
from math import ceil

from studio.people.models import User
from studio.workshop.models import StockMovement
from studio.workshop.stock import move_stock

__all__ = ["LEAD_DAYS", "Shelf", "below_zero"]

SPOOL_G = 1000
LEAD_DAYS = 3
Why = StockMovement.Why


class Shelf:
    """Grams in hundredths by filament and spool, in the order of coming."""

    def __init__(self, by: User) -> None:
        self.by = by
        self.spools: dict[str, dict[tuple[str, str], int]] = {}
        self.coming: list[tuple[date, str]] = []
        self.bought = self.moves = 0

    def put(self, filament: str) -> None:
        self.bought += 1
        lot, spool = f"lot {self.bought // 3}", f"spool {self.bought}"
        move_stock(
            filament,
            SPOOL_G * 100,
            Why.BOUGHT,
            f"year-bought-{self.bought}",
            lot=lot,
            spool=spool,
            by=self.by,
        )
        self.spools.setdefault(filament, {})[lot, spool] = SPOOL_G * 100

    def take(self, filament: str, grams: float) -> bool:
        """Off as many spools as it needs; nothing where there is not enough."""
        wanted, here = ceil(grams * 100), self.spools.get(filament, {})
        if wanted > sum(here.values()):
            return False
        for (lot, spool), left in here.items():
            used = min(left, wanted)
            if used:
                self.moves += 1
                key = f"year-used-{self.moves}"
                move_stock(filament, -used, Why.USED, key, lot=lot, spool=spool, by=self.by)
            here[lot, spool], wanted = left - used, wanted - used
        return True

    def arrive(self, day: date) -> None:
        for when, filament in [each for each in self.coming if each[0] <= day]:
            self.coming.remove((when, filament))
            self.put(filament)

    def order(self, needed_g: Mapping[str, float], day: date) -> None:
        """So much that half a spool is over for what fails."""
        for filament, grams in needed_g.items():
            here = sum(self.spools.get(filament, {}).values()) / 100
            here += SPOOL_G * sum(name == filament for _day, name in self.coming)
            for _spool in range(max(0, ceil((grams + SPOOL_G / 2 - here) / SPOOL_G))):
                self.coming.append((day + timedelta(days=LEAD_DAYS), filament))


def below_zero() -> Iterator[StockMovement]:
    """Movements after which a spool, by all that was ever written of it, has less than nothing."""
    lies: dict[tuple[str, str, str], int] = {}
    for row in StockMovement.objects.order_by("pk"):
        place = row.filament, row.lot, row.spool
        lies[place] = lies.get(place, 0) + row.hundredths_g
        if lies[place] < 0:
            yield row
