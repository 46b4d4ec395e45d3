"""Plates: pieces by filament onto the beds of the printers that may print it."""

from collections.abc import Callable, Mapping, Sequence

from studio.lattice.part import Part
from studio.making.equipment import Filament, Printer
from studio.making.fitting import Fitted, fit_all
from studio.making.measured import NO_FACTORS, Factors
from studio.making.packing import outline_mm2
from studio.making.plate import Plate, PlatePart
from studio.making.plate_ways import Draft, PlateWays, plate_ways
from studio.making.setup import setup_of
from studio.making.wanted import Wanted
from studio.problem import Refused
from studio.voice import count, said

__all__ = ["MOST_PLATES", "Job", "TooMany", "plates_for"]

MOST_PLATES = 3_000
"""More than a year of four printers: beyond it an answer takes longer than a call can wait."""


class TooMany(Refused):
    """More than MOST_PLATES."""


def plates_for(
    parts: Sequence[Part],
    printers: Sequence[Printer],
    filaments: Sequence[Filament],
    factors: Factors = NO_FACTORS,
) -> tuple[Plate, ...]:
    """Plates for every part with its spares, filament by filament, the most work first.

    A plate holds pieces of one filament, runs no longer than its printer's longest run and takes no more than
    one spool (nobody is there to change it). The next plate goes to the printer kind with the least minutes
    for each of its printers (list scheduling); then the plates of a filament are evened out as far as that
    needs no more plates. Raises Refused where a part cannot be made, and TooMany.
    """
    return Job(parts, printers, filaments, factors).evened()


class Job:
    """Parts of a bill and what each of them takes on each printer, to be cut into plates in several ways.
    Raises Refused where a part cannot be made; each way raises TooMany."""

    def __init__(
        self,
        parts: Sequence[Part],
        printers: Sequence[Printer],
        filaments: Sequence[Filament],
        factors: Factors = NO_FACTORS,
    ) -> None:
        self.parts, self.printers = parts, printers
        fits = fit_all(parts, printers, filaments, factors)
        by_name = {filament.name: filament for filament in filaments}
        self._groups: dict[str, PlateWays] = {}
        self._plates: dict[Draft, Plate] = {}
        for name in _by_work(parts, fits):
            own = {i: part for i, part in enumerate(parts) if part.filament == name}
            members = {i: part for i, part in own.items() if part.count + part.spares}
            setups = [setup_of(printer, by_name[name], factors) for printer in printers]
            self._groups[name] = plate_ways(members, {i: fits[i] for i in members}, setups, by_name[name])

    def evened(self) -> tuple[Plate, ...]:
        """Plates of a filament alike, as far as that needs no more of them."""
        return self._cut(lambda group, loads, _: group.evened(loads))

    def full(self) -> tuple[Plate, ...]:
        """Full plates, and what is left over."""
        return self._cut(lambda group, loads, _: group.full(loads))

    def by_hours(self, wanted: Mapping[str, Wanted]) -> tuple[Plate, ...]:
        """Short plates for the day, long ones for the night, as every printer kind wants them."""
        each = [wanted[printer.name] for printer in self.printers]
        return self._cut(lambda group, loads, counts: group.by_hours(loads, counts, each))

    def _cut(
        self, place: Callable[[PlateWays, Sequence[float], Sequence[int]], list[Draft]]
    ) -> tuple[Plate, ...]:
        """`place` is given the minutes and the plates that each printer kind has from earlier filaments."""
        loads, counts = [0.0] * len(self.printers), [0] * len(self.printers)
        plates: list[Plate] = []
        for name, group in self._groups.items():
            for draft in place(group, loads, counts):
                loads[draft.printer] += draft.minutes
                counts[draft.printer] += 1
                plates.append(self._plate(draft, name))
            _refuse_many(len(plates))
        return tuple(plates)

    def _plate(self, draft: Draft, filament: str) -> Plate:
        """Equal drafts of a group are mostly the same one: its plate is made once."""
        if draft not in self._plates:
            self._plates[draft] = _plate(draft, filament, self.parts, self.printers)
        return self._plates[draft]


def _refuse_many(plates: int) -> None:
    if plates > MOST_PLATES:
        reason = said("this takes more than the {} that are planned in one go", count(MOST_PLATES, "plate"))
        remedy = "fewer columns or rows, several panels, or larger beds"
        raise TooMany.because("design.columns", reason, remedy)


def _by_work(parts: Sequence[Part], fits: Sequence[Mapping[int, Fitted]]) -> list[str]:
    """Filament names, the one with the most printing first."""
    work: dict[str, float] = {}
    for part, fitted in zip(parts, fits, strict=True):
        seconds = min(fit.total_s for fit in fitted.values())
        work[part.filament] = work.get(part.filament, 0.0) + seconds * (part.count + part.spares)
    return sorted(work, key=lambda name: (-work[name], name))


def _plate(draft: Draft, filament: str, parts: Sequence[Part], printers: Sequence[Printer]) -> Plate:
    printer = printers[draft.printer]
    width, depth = printer.usable_mm
    outlines = sum(outline_mm2(parts[part].face) * count for part, count in draft.counts)
    return Plate(
        printer=printer.name,
        filament=filament,
        parts=tuple(PlatePart(part, count) for part, count in draft.counts),
        pieces=sum(count for _, count in draft.counts),
        minutes=round(draft.minutes, 2),
        mass_g=round(draft.mass_g, 2),
        bed_share=outlines / (width * depth),
    )
