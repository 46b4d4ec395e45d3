"""Plates: pieces by filament onto the beds of the printers that may print it."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from studio.lattice.part import Part
from studio.making.equipment import Filament, Printer
from studio.making.fitting import Fitted, fit_all
from studio.making.measured import NO_FACTORS, Factors
from studio.making.packing import Kind, outline_mm2, rows
from studio.making.plate import Plate, PlatePart, kinds_for
from studio.making.setup import Setup, setup_of
from studio.making.wanted import Wanted

__all__ = ["Job", "plates_for"]

SLACKS = (1.01, 1.03, 1.1, 1.25)
"""How far above the mean a balanced plate's minutes may lie; tried in this order."""
EVEN = 0.8
"""Plates of at least this share of the mean are even enough."""
ENDLESS = 10**9
"""More than any bed holds."""


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
    needs no more plates. Raises Refused where a part cannot be made.
    """
    return Job(parts, printers, filaments, factors).evened()


class Job:
    """Parts of a bill and what each of them takes on each printer, to be cut into plates in several ways.
    Raises Refused where a part cannot be made."""

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
        self._groups: dict[str, _Group] = {}
        for name in _by_work(parts, fits):
            own = {i: part for i, part in enumerate(parts) if part.filament == name}
            members = {i: part for i, part in own.items() if part.count + part.spares}
            setups = [setup_of(printer, by_name[name], factors) for printer in printers]
            spool_g = by_name[name].spool_g
            self._groups[name] = _Group(members, {i: fits[i] for i in members}, setups, spool_g)

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
        self, place: Callable[["_Group", Sequence[float], Sequence[int]], list["_Draft"]]
    ) -> tuple[Plate, ...]:
        """`place` is given the minutes and the plates that each printer kind has from earlier filaments."""
        loads, counts = [0.0] * len(self.printers), [0] * len(self.printers)
        plates: list[Plate] = []
        for name, group in self._groups.items():
            drafts = place(group, loads, counts)
            for draft in drafts:
                loads[draft.printer] += draft.minutes
                counts[draft.printer] += 1
            plates += (_plate(draft, name, self.parts, self.printers) for draft in drafts)
        return tuple(plates)


def _by_work(parts: Sequence[Part], fits: Sequence[Mapping[int, Fitted]]) -> list[str]:
    """Filament names, the one with the most printing first."""
    work: dict[str, float] = {}
    for part, fitted in zip(parts, fits, strict=True):
        seconds = min(fit.total_s for fit in fitted.values())
        work[part.filament] = work.get(part.filament, 0.0) + seconds * (part.count + part.spares)
    return sorted(work, key=lambda name: (-work[name], name))


def _plate(draft: "_Draft", filament: str, parts: Sequence[Part], printers: Sequence[Printer]) -> Plate:
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


@dataclass(frozen=True, slots=True)
class _Draft:
    printer: int
    counts: tuple[tuple[int, int], ...]
    minutes: float
    mass_g: float


class _Group:
    """The pieces of one filament while they are being placed."""

    def __init__(
        self,
        parts: dict[int, Part],
        fits: Mapping[int, Mapping[int, Fitted]],
        setups: Sequence[Setup],
        spool_g: float,
    ) -> None:
        self.parts, self.fits, self.setups, self.spool_g = parts, fits, setups, spool_g
        self.printers = [setup.printer for setup in setups]
        self.longest = [printer.longest_run_minutes for printer in self.printers]
        self.wanted = {index: part.count + part.spares for index, part in parts.items()}
        self.kinds = {k: self._kinds(k) for k in {k for fitted in fits.values() for k in fitted}}
        self.order = sorted(
            parts, key=lambda i: (len(fits[i]), -parts[i].face.width_mm * parts[i].face.height_mm, i)
        )
        self._layers = max(
            (len(fit.seconds) for fitted in fits.values() for fit in fitted.values()), default=0
        )
        self._endless: dict[object, _Draft] = {}

    def _kinds(self, printer: int) -> tuple[Kind, ...]:
        able = {index: part for index, part in self.parts.items() if printer in self.fits[index]}
        return kinds_for(able, self.wanted, self.printers[printer])

    def full(self, loads: Sequence[float]) -> list[_Draft]:
        return self._placed(loads, self.longest)

    def evened(self, loads: Sequence[float]) -> list[_Draft]:
        """Full plates first; then, with shorter runs for each printer kind, as many plates that are alike."""
        full = self.full(loads)
        for slack in SLACKS if _uneven(full) else ():
            evened = self._placed(loads, _shorter(full, self.longest, slack), at_most=len(full))
            if evened:
                return evened
        return full

    def by_hours(
        self, loads: Sequence[float], counts: Sequence[int], wanted: Sequence[Wanted]
    ) -> list[_Draft]:
        """What each printer kind wants next; where a piece takes longer than that, its longest run."""
        left, minutes, made = dict(self.wanted), list(loads), list(counts)
        drafts = list[_Draft]()
        while any(left.values()):
            printer = self._next(left, minutes)
            limit = min(wanted[printer].limit_minutes(made[printer]), self.longest[printer])
            draft = self._fill(printer, left, limit)
            if not draft.counts:
                draft = self._fill(printer, left, self.longest[printer])
            self._take(draft, left, minutes)
            made[printer] += 1
            drafts.append(draft)
        return drafts

    def _placed(
        self, loads: Sequence[float], limits: Sequence[float], at_most: int | None = None
    ) -> list[_Draft]:
        """Plates for all pieces; none when that takes more than `at_most` or a piece exceeds the limits."""
        left, minutes, drafts = dict(self.wanted), list(loads), list[_Draft]()
        while any(left.values()):
            printer = self._next(left, minutes)
            draft = self._fill(printer, left, limits[printer])
            if not draft.counts or len(drafts) == at_most:
                return []
            self._take(draft, left, minutes)
            drafts.append(draft)
        return drafts

    def _next(self, left: Mapping[int, int], minutes: Sequence[float]) -> int:
        """The printer kind for the next plate: of those that take the most choosy piece that is left, the one
        with the least minutes for each of its printers."""
        first = next(index for index in self.order if left[index])
        return min(self.fits[first], key=lambda k: (minutes[k] / self.printers[k].count, k))

    @staticmethod
    def _take(draft: _Draft, left: dict[int, int], minutes: list[float]) -> None:
        minutes[draft.printer] += draft.minutes
        for part, count in draft.counts:
            left[part] -= count

    def _fill(self, printer: int, left: Mapping[int, int], limit_minutes: float) -> _Draft:
        """One plate. What it takes while nothing runs out is worked out once for each set of kinds, and is
        the plate wherever enough is left for it."""
        waiting = tuple(kind for kind in self.kinds[printer] if left[kind.part])
        key = (printer, limit_minutes, tuple(kind.part for kind in waiting))
        if key not in self._endless:
            self._endless[key] = self._filled(printer, waiting, dict.fromkeys(left, ENDLESS), limit_minutes)
        endless = self._endless[key]
        if all(count <= left[part] for part, count in endless.counts):
            return endless
        return self._filled(printer, waiting, left, limit_minutes)

    def _filled(
        self, index: int, waiting: Sequence[Kind], left: Mapping[int, int], limit_minutes: float
    ) -> _Draft:
        printer = self.printers[index]
        setup = self.setups[index]
        content = _Content(setup, limit_minutes, self.spool_g, self._layers, self._on(index))
        kinds = [Kind(kind.part, kind.lies, left[kind.part]) for kind in waiting]
        rows(kinds, *printer.usable_mm, printer.gap_mm, content.allow)
        return _Draft(
            index, tuple(content.counts.items()), setup.plate_minutes(content.seconds), content.mass_g
        )

    def _on(self, printer: int) -> dict[int, Fitted]:
        return {index: fitted[printer] for index, fitted in self.fits.items() if printer in fitted}


def _uneven(drafts: Sequence[_Draft]) -> bool:
    """Whether some plate is much shorter than the mean of its printer kind."""
    return any(min(minutes) < EVEN * sum(minutes) / len(minutes) for minutes in _minutes(drafts).values())


def _minutes(drafts: Sequence[_Draft]) -> dict[int, list[float]]:
    """Minutes of the plates of each printer kind."""
    found: dict[int, list[float]] = {}
    for draft in drafts:
        found.setdefault(draft.printer, []).append(draft.minutes)
    return found


def _shorter(drafts: Sequence[_Draft], limits: Sequence[float], slack: float) -> list[float]:
    """Limits a little above the mean minutes of each printer kind's plates."""
    shorter = list(limits)
    for printer, minutes in _minutes(drafts).items():
        shorter[printer] = min(limits[printer], slack * sum(minutes) / len(minutes))
    return shorter


class _Content:
    """A plate being filled: counts, seconds of each layer, grams, within its minutes and its spool."""

    def __init__(
        self, setup: Setup, limit_minutes: float, spool_g: float, layers: int, fits: Mapping[int, Fitted]
    ) -> None:
        self.setup, self.limit_minutes, self.fits = setup, limit_minutes, fits
        self.most_g = spool_g - setup.printer.start_g
        self.seconds: NDArray[np.float64] = np.zeros(layers)
        self.counts: dict[int, int] = {}
        self.mass_g = 0.0
        self.most_s = 60 * setup.printer.heat_up_minutes + layers * setup.recipe.min_layer_s

    def allow(self, part: int, wanted: int) -> int:
        """How many of `wanted` more parts the plate takes; they are then on it."""
        fit = self.fits[part]
        most = min(wanted, int((self.most_g - self.mass_g) / fit.mass_g + 1e-9)) if fit.mass_g else wanted
        count = self._within(fit, most)
        if count:
            self.seconds[: len(fit.seconds)] += count * fit.seconds
            self.counts[part] = self.counts.get(part, 0) + count
            self.mass_g += count * fit.mass_g
            self.most_s += count * fit.total_s
        return count

    def _within(self, fit: Fitted, most: int) -> int:
        """The largest number, at most `most`, that stays within the minutes."""
        if self.setup.factor.minutes * (self.most_s + most * fit.total_s) <= 60 * self.limit_minutes:
            return most  # even if every layer took its least time besides
        low, high = 0, most
        while low < high:
            middle = high if high == most else (low + high + 1) // 2
            seconds = self.seconds.copy()
            seconds[: len(fit.seconds)] += middle * fit.seconds
            fits = self.setup.plate_minutes(seconds) <= self.limit_minutes
            low, high = (middle, high) if fits else (low, middle - 1)
        return low
