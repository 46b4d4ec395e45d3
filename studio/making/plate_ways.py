"""The pieces of one filament, and the plates that they come to."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from studio.lattice.part import Part
from studio.making.equipment import Filament
from studio.making.fitting import Fitted
from studio.making.packing import Batch, rows
from studio.making.plate import kinds_for
from studio.making.setup import Setup
from studio.making.wanted import Wanted
from studio.memo import memo

__all__ = ["Draft", "PlateWays", "plate_ways"]

SLACKS = (1.01, 1.03, 1.1, 1.25)
"""How far above the mean an evened plate's minutes may lie; tried in this order."""
EVEN = 0.8
"""Plates of at least this share of the mean are even enough."""
ENDLESS = 10**9
"""More than any bed holds."""

Fits = Mapping[int, Mapping[int, Fitted]]


@dataclass(frozen=True, slots=True, eq=False)
class Draft:
    """A plate as it is being placed; compared by identity."""

    printer: int
    counts: tuple[tuple[int, int], ...]
    minutes: float
    mass_g: float


def plate_ways(
    parts: Mapping[int, Part], fits: Fits, setups: Sequence[Setup], filament: Filament
) -> "PlateWays":
    """The group of these parts, by their number in the bill. A bill of other sections, or of another colour
    elsewhere, has most of its groups in common with the one before: those know their plates already."""
    members = tuple(
        (index, part.face.digest, part.depth_mm, part.count, part.spares, part.nests)
        for index, part in parts.items()
    )
    return _ways(_Members(members, tuple(setups), filament, parts, fits))


@dataclass(frozen=True)
class _Members:
    members: tuple[tuple[object, ...], ...]
    setups: tuple[Setup, ...]
    filament: Filament
    parts: Mapping[int, Part] = field(compare=False)
    fits: Fits = field(compare=False)


@memo
def _ways(of: _Members) -> "PlateWays":
    return PlateWays(of.parts, of.fits, of.setups, of.filament.spool_g)


class PlateWays:
    """Plates of a group in several ways, each worked out once. `loads` are the minutes that each printer kind
    has from earlier filaments."""

    def __init__(
        self, parts: Mapping[int, Part], fits: Fits, setups: Sequence[Setup], spool_g: float
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
        self._on = {
            k: {index: fitted[k] for index, fitted in fits.items() if k in fitted} for k in self.kinds
        }
        self._endless: dict[object, Draft] = {}
        self._lasts: dict[object, Draft] = {}

    def _kinds(self, printer: int) -> tuple[Batch, ...]:
        able = {index: part for index, part in self.parts.items() if printer in self.fits[index]}
        return kinds_for(able, self.wanted, self.printers[printer])

    def full(self, loads: Sequence[float]) -> list[Draft]:
        return self._placed(loads, self.longest)

    def evened(self, loads: Sequence[float]) -> list[Draft]:
        """Full plates first; then, with shorter runs for each printer kind, as many plates that are alike."""
        full = self.full(loads)
        for slack in SLACKS if _uneven(full) else ():
            evened = self._placed(loads, _shorter(full, self.longest, slack), at_most=len(full))
            if evened:
                return evened
        return full

    def by_hours(
        self, loads: Sequence[float], counts: Sequence[int], wanted: Sequence[Wanted]
    ) -> list[Draft]:
        """What each printer kind wants next; where a piece takes longer than that, its longest run."""
        left, minutes, made = _Left(self), list(loads), list(counts)
        drafts = list[Draft]()
        while left.order:
            printer = self._next(left, minutes)
            limit = min(wanted[printer].limit_minutes(made[printer]), self.longest[printer])
            draft = self._fill(printer, left, limit)
            if not draft.counts:
                draft = self._fill(printer, left, self.longest[printer])
            left.take(draft)
            minutes[printer] += draft.minutes
            made[printer] += 1
            drafts.append(draft)
        return drafts

    def _placed(
        self, loads: Sequence[float], limits: Sequence[float], at_most: int | None = None
    ) -> list[Draft]:
        """Plates for all pieces; none when that takes more than `at_most` or a piece exceeds the limits."""
        left, minutes, drafts = _Left(self), list(loads), list[Draft]()
        while left.order:
            printer = self._next(left, minutes)
            draft = self._fill(printer, left, limits[printer])
            if not draft.counts or len(drafts) == at_most:
                return []
            left.take(draft)
            minutes[printer] += draft.minutes
            drafts.append(draft)
        return drafts

    def _next(self, left: "_Left", minutes: Sequence[float]) -> int:
        """The printer kind for the next plate: of those that take the most choosy piece that is left, the one
        with the least minutes for each of its printers."""
        able = self.fits[left.order[-1]]
        return min(able, key=lambda k: (minutes[k] / self.printers[k].count, k))

    def _fill(self, printer: int, left: "_Left", limit_minutes: float) -> Draft:
        """One plate. What it takes while nothing runs out is worked out once for each set of kinds, and is
        the plate wherever enough is left for it."""
        waiting, parts = left.waiting(printer)
        key = printer, limit_minutes, parts
        if key not in self._endless:
            endless = [Batch(kind.part, kind.lies, ENDLESS) for kind in waiting]
            self._endless[key] = self._filled(printer, endless, limit_minutes)
        for part, count in self._endless[key].counts:
            if count > left.counts[part]:
                return self._last(printer, waiting, left.counts, limit_minutes)
        return self._endless[key]

    def _last(
        self, printer: int, waiting: Sequence[Batch], left: Mapping[int, int], limit_minutes: float
    ) -> Draft:
        """A plate on which something runs out; several ways of cutting come to the same."""
        key = printer, limit_minutes, tuple([(kind.part, left[kind.part]) for kind in waiting])
        if key not in self._lasts:
            kinds = [Batch(kind.part, kind.lies, left[kind.part]) for kind in waiting]
            self._lasts[key] = self._filled(printer, kinds, limit_minutes)
        return self._lasts[key]

    def _filled(self, index: int, kinds: Sequence[Batch], limit_minutes: float) -> Draft:
        printer, setup = self.printers[index], self.setups[index]
        content = Content(setup, limit_minutes, self.spool_g, self._layers, self._on[index])
        rows(kinds, *printer.usable_mm, printer.gap_mm, content.allow)
        minutes = setup.plate_minutes(content.seconds)
        return Draft(index, tuple(content.counts.items()), minutes, content.mass_g)


class _Left:
    """How many of each part are still to be placed; in `order` those that are, the most choosy one last.
    What waits is listed anew only when a part has run out."""

    def __init__(self, group: PlateWays) -> None:
        self.counts, self._kinds = dict(group.wanted), group.kinds
        self.order = [part for part in reversed(group.order) if self.counts[part]]
        self._waiting: dict[int, tuple[list[Batch], tuple[int, ...]]] = {}

    def take(self, draft: Draft) -> None:
        for part, count in draft.counts:
            self.counts[part] -= count
            if not self.counts[part]:
                self._waiting.clear()
        while self.order and not self.counts[self.order[-1]]:
            self.order.pop()

    def waiting(self, printer: int) -> tuple[list[Batch], tuple[int, ...]]:
        """The kinds that wait for a printer kind, and their parts."""
        if printer not in self._waiting:
            kinds = [kind for kind in self._kinds[printer] if self.counts[kind.part]]
            self._waiting[printer] = kinds, tuple([kind.part for kind in kinds])
        return self._waiting[printer]


def _uneven(drafts: Sequence[Draft]) -> bool:
    """Whether some plate is much shorter than the mean of its printer kind."""
    return any(min(minutes) < EVEN * sum(minutes) / len(minutes) for minutes in _minutes(drafts).values())


def _minutes(drafts: Sequence[Draft]) -> dict[int, list[float]]:
    """Minutes of the plates of each printer kind."""
    found: dict[int, list[float]] = {}
    for draft in drafts:
        found.setdefault(draft.printer, []).append(draft.minutes)
    return found


def _shorter(drafts: Sequence[Draft], limits: Sequence[float], slack: float) -> list[float]:
    """Limits a little above the mean minutes of each printer kind's plates."""
    shorter = list(limits)
    for printer, minutes in _minutes(drafts).items():
        shorter[printer] = min(limits[printer], slack * sum(minutes) / len(minutes))
    return shorter


class Content:
    """Counts, seconds of each layer, grams, within its minutes and its spool."""

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
