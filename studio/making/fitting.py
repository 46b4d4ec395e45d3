"""Which printer may make which part, and what the part then takes; or why none can."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import sqrt

import numpy as np
from numpy.typing import NDArray

from studio.lattice.part import Part
from studio.making.equipment import Filament, Printer, Recipe
from studio.making.measured import NO_FACTORS, Factors
from studio.making.packing import Lie, lies_of
from studio.making.setup import Setup, setup_of
from studio.making.toolpath import hop_seconds, load_of
from studio.problem import Problem, Refused, refuse_all
from studio.voice import length, number, said

__all__ = ["Fitted", "fit_all"]


@dataclass(frozen=True, eq=False)
class Fitted:
    """A part on a printer: seconds (n_layers,) of each layer with the hop to the next part, grams, and how
    it may lie."""

    seconds: NDArray[np.float64]
    mass_g: float
    lies: tuple[Lie, ...]
    total_s: float


def fit_all(
    parts: Sequence[Part],
    printers: Sequence[Printer],
    filaments: Sequence[Filament],
    factors: Factors = NO_FACTORS,
) -> tuple[Mapping[int, Fitted], ...]:
    """For each part, the printers (by index) that can make it. Raises Refused where a part has none, with
    every reason."""
    by_name = {filament.name: filament for filament in filaments}
    refuse_all(_unknown(parts, printers, by_name))
    found: list[Mapping[int, Fitted]] = []
    problems: list[Problem] = []
    for part in parts:
        tries = _Tries(part, printers, by_name[part.filament], factors)
        found.append(tries.fits())
        if not found[-1]:
            problems.append(_no_printer(part, tries.reasons()))
    refuse_all(problems)
    return tuple(found)


def _unknown(
    parts: Sequence[Part], printers: Sequence[Printer], filaments: Mapping[str, Filament]
) -> Iterator[Problem]:
    names = [printer.name for printer in printers]
    for name in dict.fromkeys(part.filament for part in parts):
        if name not in filaments:
            reason = f"there is no filament called “{name}”, which the panel uses"
            yield Problem("rate_book.filaments", reason, f"add it, or choose one of {', '.join(filaments)}")
            continue
        for allowed in filaments[name].printers:
            if allowed not in names:
                reason = f"no printer is called “{allowed}”"
                yield Problem(
                    f"rate_book.filaments.{name}.printers",
                    reason,
                    f"name some of {', '.join(names)}, or none for all",
                )
    for printer in printers:
        yield from _beads(f"rate_book.printers.{printer.name}.recipe", printer.recipe)
        for own in printer.recipes:
            yield from _beads(f"rate_book.printers.{printer.name}.recipes.{own.of}", own.recipe)


def _beads(key: str, recipe: Recipe) -> Iterator[Problem]:
    if recipe.bead_mm < max(recipe.layer_mm, recipe.first_layer_mm):
        reason = f"a bead of {recipe.bead_mm:g} mm is narrower than its layer is high"
        yield Problem(f"{key}.bead_mm", reason, "a bead at least as wide as the layers are high")


@dataclass(frozen=True, slots=True)
class _Tries:
    """A part on each of the printers that its filament may go on. That it is too large for one is mostly
    known without a word."""

    part: Part
    printers: Sequence[Printer]
    filament: Filament
    factors: Factors

    def fits(self) -> dict[int, Fitted]:
        found: dict[int, Fitted] = {}
        for index, printer in self._allowed():
            if lies_of(self.part, *printer.usable_mm, printer.gap_mm):
                result = self._tried(printer)
                if isinstance(result, Fitted):
                    found[index] = result
        return found

    def reasons(self) -> list[str]:
        return [said("{}: {}", printer.name, self._tried(printer)) for _, printer in self._allowed()]

    def _allowed(self) -> Iterator[tuple[int, Printer]]:
        for index, printer in enumerate(self.printers):
            if not self.filament.printers or printer.name in self.filament.printers:
                yield index, printer

    def _tried(self, printer: Printer) -> Fitted | str:
        return _fitted(self.part, setup_of(printer, self.filament, self.factors), self.filament)


def _fitted(part: Part, setup: Setup, filament: Filament) -> Fitted | str:
    """The part on this printer, or why it cannot be made there."""
    printer, recipe = setup.printer, setup.recipe
    lies = lies_of(part, *printer.usable_mm, printer.gap_mm)
    if not lies:
        return _too_large(part, printer)
    if part.depth_mm > printer.height_mm:
        return said("{} too high", length(part.depth_mm - printer.height_mm, 1))
    try:
        load = load_of(part.face, part.depth_mm, recipe)
    except Refused as refused:
        return refused.problems[0].reason
    hop = hop_seconds(recipe, sqrt(part.face.width_mm * part.face.height_mm) + printer.gap_mm)
    seconds = load.seconds + hop
    mass_g = setup.factor.grams * load.mass_g(filament.density_g_per_cm3)
    fitted = Fitted(seconds, mass_g, lies, float(seconds.sum()))
    minutes = setup.plate_minutes(seconds)
    if minutes > printer.longest_run_minutes:
        longest = number(printer.longest_run_minutes)
        return said("one takes {} minutes, the longest run is {}", number(minutes, 0), longest)
    if mass_g > filament.spool_g - printer.start_g:
        weighs, holds = number(mass_g, 0), number(filament.spool_g)
        return said("one weighs {} g, a spool of {} holds {} g", weighs, filament.name, holds)
    return fitted


def _too_large(part: Part, printer: Printer) -> str:
    """By how many mm it misses the bed, the better way round."""
    across, up = part.face.width_mm, part.face.height_mm
    width, depth = printer.usable_mm
    over = min(max(across - width, up - depth), max(up - width, across - depth))
    return said("{} too long for the usable bed of {} × {}", length(over, 1), length(width), length(depth))


def _no_printer(part: Part, reasons: list[str]) -> Problem:
    name = _joined(" ", [word for word in (part.code, part.pattern, part.size) if word])
    size = (length(part.face.width_mm, 1), length(part.face.height_mm, 1), length(part.depth_mm, 1))
    why = _joined("; ", reasons) or f"no printer is allowed to print {part.filament}"
    return Problem(
        "rate_book.printers",
        said("no printer can make {} in {} ({} × {} × {}): {}", name, part.filament, *size, why),
        "a printer that can, or a design with smaller parts",
    )


def _joined(between: str, texts: Sequence[str]) -> str:
    return said(between.join("{}" for _ in texts), *texts)
