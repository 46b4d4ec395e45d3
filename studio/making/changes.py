"""Putting another filament on a printer: how often, how long, and how much runs through."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from studio.making.equipment import Printer
from studio.making.plate import Plate

__all__ = ["Change", "changes_of"]


@dataclass(frozen=True, slots=True)
class Change:
    """One filament put on `times` printers of a kind."""

    printer: Printer
    filament: str
    times: int

    @property
    def minutes(self) -> float:
        return self.times * self.printer.change_minutes

    @property
    def purge_g(self) -> float:
        """Grams of the new filament until the old one is out."""
        return self.times * self.printer.purge_g


def changes_of(plates: Sequence[Plate], printers: Sequence[Printer]) -> tuple[Change, ...]:
    """Plates of a filament run one after another on all printers of their kind, so each printer that prints
    it changes once; the filament that was on before belongs to another job."""
    by_name = {printer.name: printer for printer in printers}
    counts = Counter((plate.printer, plate.filament) for plate in plates)
    return tuple(
        Change(by_name[name], filament, min(count, by_name[name].count))
        for (name, filament), count in counts.items()
    )
