"""Putting another filament on a printer: how often, how long, and how much runs through."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace

from studio.making.equipment import Printer
from studio.making.plate import Plate

__all__ = ["Change", "changes_of", "with_changes"]


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


def with_changes(plates: Sequence[Plate], printers: Sequence[Printer]) -> list[Plate]:
    """The plates in their order, with the minutes of changes in those that begin with one: the longest of a
    filament go on first, one on each printer that changes."""
    left = {(change.printer.name, change.filament): change for change in changes_of(plates, printers)}
    times, found = {key: change.times for key, change in left.items()}, list(plates)
    for n in sorted(range(len(plates)), key=lambda n: -plates[n].minutes):
        key = plates[n].printer, plates[n].filament
        if times[key]:
            times[key] -= 1
            minutes = plates[n].minutes + left[key].printer.change_minutes
            found[n] = replace(plates[n], minutes=minutes)
    return found
