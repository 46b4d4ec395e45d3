"""What making a bill of pieces takes: plates, minutes, grams and energy."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from studio.lattice.bill import Bill
from studio.making.chances import expected_extra_runs, failure_probability
from studio.making.changes import changes_of
from studio.making.equipment import Filament, Printer
from studio.making.measured import NO_FACTORS, Factors
from studio.making.plate import Plate, PlatePart, lay_out
from studio.making.plates import plates_for
from studio.making.uses import FilamentUse, Workshop, filament_uses
from studio.problem import Problem, refuse_all
from studio.voice import number, said

__all__ = [
    "FilamentUse", "MakingPlan", "Plate", "PlatePart",
    "energy_kwh", "heating_kwh", "hopeless", "lay_out", "make",
]  # fmt: skip

WORST_FAILURE = 0.9
"""A plate that fails more often than this is not worth starting: refused."""


@dataclass(frozen=True, eq=False)
class MakingPlan:
    """`print_minutes` excludes reprints; `reprint_minutes` is what failures are expected to add (hazard
    per hour). `minutes_by_printer` and `reprint_minutes_by_printer` are by printer kind and add up to the
    two. `panel_mass_g` is the printed mass of the panel as hung, without spares or bought-in parts. All
    are floats in minutes and grams. Changes of filament are in none of them: `colour_changes` in all, and
    their minutes by printer kind. `energy_kwh` is for the plates, `reprint_energy_kwh` for expected reprints,
    which are `reprinted_plates` plates more. `factors` are those of the studio's own measurements that were
    used."""

    plates: tuple[Plate, ...]
    print_minutes: float
    reprint_minutes: float
    minutes_by_printer: Mapping[str, float]
    reprint_minutes_by_printer: Mapping[str, float]
    filaments: tuple[FilamentUse, ...]
    panel_mass_g: float
    colour_changes: int = 0
    change_minutes_by_printer: Mapping[str, float] = field(default_factory=dict)
    energy_kwh: float = 0.0
    reprint_energy_kwh: float = 0.0
    reprinted_plates: float = 0.0
    factors: Factors = field(default_factory=dict)

    @property
    def change_minutes(self) -> float:
        return round(sum(self.change_minutes_by_printer.values()), 2)


def make(
    bill: Bill,
    printers: Sequence[Printer],
    filaments: Sequence[Filament],
    failures_per_hour: float,
    shelf_g: Mapping[str, float],
    factors: Factors = NO_FACTORS,
    plates: tuple[Plate, ...] | None = None,
) -> MakingPlan:
    """The plan for all parts of a bill, spares included, to 0.01 of a minute and of a gram.

    `failures_per_hour` is the hazard of a running printer; `shelf_g` the grams of each filament that nobody
    is promised, used for the spools to buy and nothing else; `factors` those of fit_factors; `plates` those
    of cuts_of, or else of plates_for. Raises Refused where a part cannot be made, or plates fail too often.
    """
    if plates is None:
        plates = plates_for(bill.parts, printers, filaments, factors)
    refuse_all(hopeless(plates, failures_per_hour))
    extra = [expected_extra_runs(failures_per_hour, plate.minutes / 60) for plate in plates]
    workshop = Workshop(printers, filaments, factors)
    uses = tuple(filament_uses(bill.parts, plates, extra, workshop, shelf_g))
    minutes = _added((plate.printer, plate.minutes) for plate in plates)
    reprints = _added(
        (plate.printer, plate.minutes * runs) for plate, runs in zip(plates, extra, strict=True)
    )
    energy = [energy_kwh(workshop.printers[plate.printer], plate.minutes) for plate in plates]
    changes = changes_of(plates, printers)
    return MakingPlan(
        plates=plates,
        print_minutes=round(sum(minutes.values()), 2),
        reprint_minutes=round(sum(reprints.values()), 2),
        minutes_by_printer=minutes,
        reprint_minutes_by_printer=reprints,
        filaments=uses,
        panel_mass_g=round(sum(use.panel_g for use in uses), 2),
        colour_changes=sum(change.times for change in changes),
        change_minutes_by_printer=_added((change.printer.name, change.minutes) for change in changes),
        energy_kwh=round(sum(energy), 2),
        reprint_energy_kwh=round(sum(kwh * runs for kwh, runs in zip(energy, extra, strict=True)), 2),
        reprinted_plates=round(sum(extra), 2),
        factors=workshop.used(plates),
    )


def hopeless(plates: Sequence[Plate], failures_per_hour: float) -> Iterator[Problem]:
    """The problem of plates that fail too often to be started, if any does."""
    hours = max((plate.minutes for plate in plates), default=0.0) / 60
    failing = failure_probability(failures_per_hour, hours)
    if failing > WORST_FAILURE:
        told = "at {} failures an hour a plate of {} hours fails in {} % of its runs"
        reason = said(told, number(failures_per_hour, 4), number(hours, 1), number(100 * failing, 0))
        yield Problem(
            "rate_book.failures_per_hour", reason, "fewer failures, or a shorter longest run of the printers"
        )


def _added(pairs: Iterable[tuple[str, float]]) -> dict[str, float]:
    sums: dict[str, float] = {}
    for name, value in pairs:
        sums[name] = sums.get(name, 0.0) + value
    return {name: round(value, 2) for name, value in sums.items()}


def energy_kwh(printer: Printer, minutes: float) -> float:
    """E = P t: heating up at `heat_up_w`, then printing at `power_w`; `minutes` are those of the plate."""
    printing = minutes - _heating_minutes(printer, minutes)
    return heating_kwh(printer, minutes) + printing * printer.power_w / 60_000


def heating_kwh(printer: Printer, minutes: float) -> float:
    """The part of it that goes into heating up."""
    return _heating_minutes(printer, minutes) * printer.heat_up_w / 60_000


def _heating_minutes(printer: Printer, minutes: float) -> float:
    return min(minutes, printer.heat_up_minutes)
