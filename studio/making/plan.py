"""What making a bill of pieces takes: plates, minutes and grams."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from studio.lattice.bill import Bill
from studio.lattice.part import Part
from studio.making.equipment import Filament, Printer
from studio.making.plate import Plate, PlatePart, lay_out
from studio.making.plates import plates_for
from studio.making.reprints import expected_extra_runs, failure_probability
from studio.making.spools import spools_to_buy
from studio.making.toolpath import load_of
from studio.problem import Problem, refuse_all

__all__ = ["FilamentUse", "MakingPlan", "Plate", "PlatePart", "hopeless", "lay_out", "make"]

WORST_FAILURE = 0.9
"""A plate that fails more often than this is not worth starting: refused."""


@dataclass(frozen=True, slots=True)
class FilamentUse:
    """Grams of one filament: in the panel's pieces, in spares, and expected for reprints; and whole spools
    to buy once the shelf is used (stock less promised)."""

    filament: str
    panel_g: float
    spares_g: float
    reprints_g: float
    spools_to_buy: int

    @property
    def mass_g(self) -> float:
        return self.panel_g + self.spares_g + self.reprints_g


@dataclass(frozen=True, eq=False)
class MakingPlan:
    """`print_minutes` excludes reprints; `reprint_minutes` is what failures are expected to add (hazard
    per hour). `minutes_by_printer` and `reprint_minutes_by_printer` are by printer kind and add up to the
    two. `panel_mass_g` is the printed mass of the panel as hung, without spares or bought-in parts. All
    are floats in minutes and grams."""

    plates: tuple[Plate, ...]
    print_minutes: float
    reprint_minutes: float
    minutes_by_printer: Mapping[str, float]
    reprint_minutes_by_printer: Mapping[str, float]
    filaments: tuple[FilamentUse, ...]
    panel_mass_g: float


def make(
    bill: Bill,
    printers: Sequence[Printer],
    filaments: Sequence[Filament],
    failures_per_hour: float,
    shelf_g: Mapping[str, float],
) -> MakingPlan:
    """The plan for all parts of a bill, spares included, to 0.01 of a minute and of a gram.

    `failures_per_hour` is the hazard of a running printer; `shelf_g` the grams of each filament that nobody
    is promised, used for the spools to buy and nothing else. Raises Refused where a part cannot be made, or
    plates fail too often.
    """
    plates = plates_for(bill.parts, printers, filaments)
    refuse_all(hopeless(plates, failures_per_hour))
    extra = [expected_extra_runs(failures_per_hour, plate.minutes / 60) for plate in plates]
    minutes = _added((plate.printer, plate.minutes) for plate in plates)
    reprints = _added(
        (plate.printer, plate.minutes * runs) for plate, runs in zip(plates, extra, strict=True)
    )
    uses = tuple(_uses(bill.parts, plates, extra, printers, filaments, shelf_g))
    return MakingPlan(
        plates=plates,
        print_minutes=round(sum(minutes.values()), 2),
        reprint_minutes=round(sum(reprints.values()), 2),
        minutes_by_printer=minutes,
        reprint_minutes_by_printer=reprints,
        filaments=uses,
        panel_mass_g=round(sum(use.panel_g for use in uses), 2),
    )


def hopeless(plates: Sequence[Plate], failures_per_hour: float) -> Iterator[Problem]:
    """The problem of plates that fail too often to be started, if any does."""
    hours = max((plate.minutes for plate in plates), default=0.0) / 60
    failing = failure_probability(failures_per_hour, hours)
    if failing > WORST_FAILURE:
        runs = f"a plate of {hours:.1f} hours fails in {failing:.0%} of its runs"
        reason = f"at {failures_per_hour:g} failures an hour {runs}"
        yield Problem(
            "rate_book.failures_per_hour", reason, "fewer failures, or a shorter longest run of the printers"
        )


def _added(pairs: Iterable[tuple[str, float]]) -> dict[str, float]:
    sums: dict[str, float] = {}
    for name, value in pairs:
        sums[name] = sums.get(name, 0.0) + value
    return {name: round(value, 2) for name, value in sums.items()}


def _uses(
    parts: Sequence[Part],
    plates: Sequence[Plate],
    extra: Sequence[float],
    printers: Sequence[Printer],
    filaments: Sequence[Filament],
    shelf_g: Mapping[str, float],
) -> Iterator[FilamentUse]:
    """Grams by filament, in the order of the plates."""
    by_name = {filament.name: filament for filament in filaments}
    grams = _part_grams(parts, plates, printers, by_name)
    for name in dict.fromkeys(plate.filament for plate in plates):
        own = [
            (plate.mass_g, runs) for plate, runs in zip(plates, extra, strict=True) if plate.filament == name
        ]
        masses = [mass for mass, _ in own]
        reprints = sum(mass * runs for mass, runs in own)
        yield FilamentUse(
            filament=name,
            panel_g=round(sum(made.panel_g for made in grams if made.filament == name), 2),
            spares_g=round(sum(made.spares_g for made in grams if made.filament == name), 2),
            reprints_g=round(reprints, 2),
            spools_to_buy=spools_to_buy(masses, reprints, by_name[name].spool_g, shelf_g.get(name, 0.0)),
        )


@dataclass(frozen=True, slots=True)
class _Made:
    filament: str
    panel_g: float
    spares_g: float


def _part_grams(
    parts: Sequence[Part],
    plates: Sequence[Plate],
    printers: Sequence[Printer],
    filaments: Mapping[str, Filament],
) -> list[_Made]:
    """Grams of the parts on every plate, the panel's apart from spares. Spares are of the same parts, so
    each plate holds them in the same share."""
    recipes = {printer.name: printer.recipe for printer in printers}
    made = []
    for plate in plates:
        for item in plate.parts:
            part = parts[item.part]
            load = load_of(part.face, part.depth_mm, recipes[plate.printer])
            grams = item.count * load.mass_g(filaments[plate.filament].density_g_per_cm3)
            spare = part.spares / (part.count + part.spares)
            made.append(_Made(plate.filament, grams * (1 - spare), grams * spare))
    return made
