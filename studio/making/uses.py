"""Grams of each filament that a plan takes, and the spools to buy for them."""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import ceil

from studio.lattice.part import Part
from studio.making.changes import changes_of
from studio.making.equipment import Filament, Printer
from studio.making.measured import Factors
from studio.making.plate import Plate
from studio.making.setup import Setup, setup_of
from studio.making.toolpath import load_of

__all__ = ["FilamentUse", "Workshop", "bins_for", "filament_uses", "grams_each", "spools_to_buy"]

NOISE_G = 0.02
"""Masses are rounded to 0.01 g before they are added."""


@dataclass(frozen=True, slots=True)
class FilamentUse:
    """Grams of one filament: in the panel's pieces, in spares, and expected for reprints; and whole spools
    to buy once the shelf is used (stock less promised). `starts_g` is what plates start with, those of
    expected reprints included, `purge_g` what runs through when it is put on a printer."""

    filament: str
    panel_g: float
    spares_g: float
    reprints_g: float
    spools_to_buy: int
    starts_g: float = 0.0
    purge_g: float = 0.0

    @property
    def mass_g(self) -> float:
        return self.panel_g + self.spares_g + self.reprints_g + self.starts_g + self.purge_g


class Workshop:
    """Printers and filaments by name, and what is known of them together."""

    def __init__(self, printers: Sequence[Printer], filaments: Sequence[Filament], factors: Factors) -> None:
        self.printers = {printer.name: printer for printer in printers}
        self.filaments = {filament.name: filament for filament in filaments}
        self.factors = factors

    def setup(self, printer: str, filament: str) -> Setup:
        return setup_of(self.printers[printer], self.filaments[filament], self.factors)

    def used(self, plates: Sequence[Plate]) -> Factors:
        """The factors that these plates were computed with."""
        recipes = {(p.printer, self.filaments[p.filament]) for p in plates}
        keys = {(name, self.printers[name].recipe_for(filament)[0]) for name, filament in recipes}
        return {key: factor for key, factor in self.factors.items() if key in keys}


def filament_uses(
    parts: Sequence[Part],
    plates: Sequence[Plate],
    extra: Sequence[float],
    workshop: Workshop,
    shelf_g: Mapping[str, float],
) -> Iterator[FilamentUse]:
    """By filament, in the order of the plates; `extra` is how many more runs each plate is expected to take.
    To 0.01 g."""
    changes = changes_of(plates, tuple(workshop.printers.values()))
    by_filament: dict[str, list[tuple[Plate, float]]] = {}
    for plate, runs in zip(plates, extra, strict=True):
        by_filament.setdefault(plate.filament, []).append((plate, runs))
    for name, own in by_filament.items():
        starts = [workshop.printers[plate.printer].start_g for plate, _ in own]
        starts_g = sum(start * (1 + runs) for start, (_, runs) in zip(starts, own, strict=True))
        reprints_g = sum(plate.mass_g * runs for plate, runs in own)
        purge_g = sum(change.purge_g for change in changes if change.filament == name)
        masses = [plate.mass_g + start for start, (plate, _) in zip(starts, own, strict=True)]
        besides = reprints_g + starts_g - sum(starts) + purge_g
        panel_g, spares_g = _made_g(parts, [plate for plate, _ in own], workshop)
        yield FilamentUse(
            filament=name,
            panel_g=round(panel_g, 2),
            spares_g=round(spares_g, 2),
            reprints_g=round(reprints_g, 2),
            spools_to_buy=spools_to_buy(
                masses, besides, workshop.filaments[name].spool_g, shelf_g.get(name, 0.0)
            ),
            starts_g=round(starts_g, 2),
            purge_g=round(purge_g, 2),
        )


def _made_g(parts: Sequence[Part], plates: Sequence[Plate], workshop: Workshop) -> tuple[float, float]:
    """Grams of the parts on these plates: the panel's, and spares. Spares are of the same parts, so each
    plate holds them in the same share."""
    panel = spares = 0.0
    for number, _count, grams in _printed(parts, plates, workshop):
        part = parts[number]
        spare = part.spares / (part.count + part.spares)
        panel, spares = panel + grams * (1 - spare), spares + grams * spare
    return panel, spares


def grams_each(parts: Sequence[Part], plates: Sequence[Plate], workshop: Workshop) -> tuple[float, ...]:
    """Mass of one of each part, on average where several printers make it."""
    counts, sums = [0] * len(parts), [0.0] * len(parts)
    for number, count, grams in _printed(parts, plates, workshop):
        counts[number] += count
        sums[number] += grams
    return tuple(grams / max(count, 1) for grams, count in zip(sums, counts, strict=True))


def _printed(
    parts: Sequence[Part], plates: Sequence[Plate], workshop: Workshop
) -> Iterator[tuple[int, int, float]]:
    """Of each part on each printer its index, how many are made and their grams."""
    counts: Counter[tuple[str, str, int]] = Counter()
    for plate in plates:
        for item in plate.parts:
            counts[plate.printer, plate.filament, item.part] += item.count
    for (printer, filament, number), count in counts.items():
        setup, part = workshop.setup(printer, filament), parts[number]
        load = load_of(part.face, part.depth_mm, setup.recipe)
        density = workshop.filaments[filament].density_g_per_cm3
        yield number, count, count * load.mass_g(density) * setup.factor.grams


def bins_for(sizes: Iterable[float], capacity: float, opened: Iterable[float] = ()) -> list[float]:
    """What is left in each bin after first-fit decreasing: `opened` bins first, then new ones of
    `capacity`, which is at least the largest size. The bins are the leaves of a tree in which each node knows
    the most room below it, so that the first that will do is found by going down once."""
    in_order, rooms = sorted(sizes, reverse=True), list(opened)
    used, most = len(rooms), len(rooms) + len(in_order)
    leaves = 1 << max(0, most - 1).bit_length()
    room = [0.0] * leaves + rooms + [capacity] * (leaves - used)
    for node in range(leaves - 1, 0, -1):
        room[node] = max(room[2 * node], room[2 * node + 1])
    for size in in_order:
        node = 1
        while node < leaves:
            node = 2 * node + (size > room[2 * node] + NOISE_G)
        used = max(used, node - leaves + 1)
        room[node] -= size
        while node := node // 2:
            room[node] = max(room[2 * node], room[2 * node + 1])
    return room[leaves : leaves + used]


def spools_to_buy(plates_g: Iterable[float], reprints_g: float, spool_g: float, shelf_g: float) -> int:
    """Spools to buy for plates of these masses and expected reprints.

    The shelf counts as full spools and at most one open one with the rest. Expected reprints are no plates
    yet: they may use what the plates leave in any spool.
    """
    full, rest = divmod(shelf_g, spool_g)
    shelf = [rest, *[spool_g] * int(full)]
    left = bins_for(plates_g, spool_g, shelf)
    short = max(0.0, reprints_g - sum(left))
    return len(left) - len(shelf) + ceil(short / spool_g)
