"""How an option is made, as texts and pictures: plates, beds, dates, energy, filaments, colour changes."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import groupby

from django.utils.safestring import SafeString, mark_safe

from studio.drawing.plate_picture import plate_svg
from studio.drawing.runs_chart import runs_charts
from studio.estimate.result import Estimate
from studio.making.bounds import plate_bounds
from studio.making.chances import COURSES
from studio.making.changes import changes_of
from studio.making.plan import FilamentUse, heating_kwh
from studio.making.plate import Plate
from studio.making.shop import ShopState
from studio.pricing.rate_book import RateBook
from studio.voice import Voice

__all__ = ["BedShown", "ChangeShown", "EnergyShown", "FilamentShown", "MakingShown", "PlateShown"]

LIMITS = {
    "bed": "the area of the bed",
    "large pieces": "large pieces, each with a bed of its own",
    "longest run": "the printer’s longest run",
    "spool": "one spool a plate",
}


@dataclass(frozen=True)
class PlateShown:
    """Equal plates: `numbers` of them in the plan, as "3 to 5, 9"."""

    picture: SafeString
    numbers: str
    times: int
    printer: str
    filament: str
    colour: str
    pieces: str
    minutes: str
    grams: str
    bed: str


@dataclass(frozen=True)
class BedShown:
    """Plates of a filament on a kind of printer against the fewest that there could be."""

    filament: str
    colour: str
    printer: str
    plates: int
    fewest: int
    limit: str
    bed: str


@dataclass(frozen=True)
class EnergyShown:
    text: str
    kwh: str
    cost: str


@dataclass(frozen=True)
class FilamentShown:
    """Grams, and whole spools to buy."""

    name: str
    colour: str
    panel: str
    spares: str
    starts: str
    purge: str
    reprints: str
    needed: str
    shelf: str
    promised: str
    buy: str


@dataclass(frozen=True)
class ChangeShown:
    filament: str
    colour: str
    printer: str
    times: int
    minutes: str


class MakingShown:
    """Texts are in the studio's own manner; `shop` is the workshop for which the dates were found."""

    def __init__(self, found: Estimate, book: RateBook, shop: ShopState, voice: Voice) -> None:
        self.found, self.book, self.shop, self.voice = found, book, shop, voice
        self.plan, self.parts = found.plan, found.bill.parts
        self.printers = {printer.name: printer for printer in book.printers}
        self.colours = {filament.name: filament.colour for filament in book.filaments}

    def facts(self) -> Iterator[tuple[str, str]]:
        plan, number = self.plan, self.voice.number
        pieces = sum(plate.pieces for plate in plan.plates)
        yield (
            "Plates",
            f"{number(len(plan.plates))} with {self.voice.count(pieces, 'piece')}, spares among them",
        )
        yield "Printing", self.voice.hours(plan.print_minutes)
        yield "Reprints", f"{self.voice.hours(plan.reprint_minutes)} expected"
        yield "Colour changes", f"{plan.colour_changes}, {number(plan.change_minutes)} min"
        yield "Energy", f"{number(plan.energy_kwh + plan.reprint_energy_kwh, 1)} kWh, reprints among it"
        yield "Panel", f"{self.voice.mass(plan.panel_mass_g, 2)} as printed"

    def dates(self) -> Iterator[tuple[str, str]]:
        dates, day = self.found.dates, self.voice.weekday
        days = partial(self.voice.count, noun="working day")
        deposit = self.shop.deposit_days
        waited = f"{self.voice.count(deposit, 'day')} for deposit and colours"
        yield "Begins", f"{day(dates.starts_on)}, {waited}"
        yield "Last plate off", day(dates.printed_on)
        yield "Expected ready", f"{day(dates.ready_on)}, {days(dates.working_days)}"
        yield "Ready in 8 of 10", f"{day(dates.held_on)}, {days(dates.held_working_days)}"

    def chances(self) -> tuple[str, str]:
        """The two distributions behind the date that holds, by name."""
        hazard = f"{self.voice.quantity(self.book.failures_per_hour, 4)}"
        spread = f"{self.voice.quantity(self.shop.labour_spread)}"
        return (
            f"A plate fails by a hazard of {hazard} an hour of printing, 1 − exp(−{hazard} × hours), and is "
            "printed again until it succeeds: the number of failures is geometric.",
            "Each stage of labour takes what is planned times a log-normal factor of mean 1 with a spread "
            f"(sigma of the logarithm) of {spread}.",
        )

    @property
    def courses(self) -> int:
        return COURSES

    def charts(self) -> list[SafeString]:
        """A picture for each week."""
        charts = runs_charts(self.found.dates, self.shop, self.book.printers, ident="runs", voice=self.voice)
        return [mark_safe(chart) for chart in charts]  # noqa: S308 -- our own SVG, texts escaped in it

    def plates(self) -> Iterator[PlateShown]:
        """Each different plate once, in the order of the plan."""
        numbers: dict[Plate, list[int]] = {}
        for number, plate in enumerate(self.plan.plates, 1):
            numbers.setdefault(plate, []).append(number)
        return (self._plate(plate, own) for plate, own in numbers.items())

    def _plate(self, plate: Plate, numbers: list[int]) -> PlateShown:
        said = f"Plate {spans(numbers)}"
        picture = plate_svg(
            plate,
            self.parts,
            self.book.printers,
            self.colours,
            title=said,
            ident=f"plate-{numbers[0]}",
            voice=self.voice,
        )
        return PlateShown(
            picture=mark_safe(picture),  # noqa: S308 -- our own SVG, texts escaped in it
            numbers=spans(numbers),
            times=len(numbers),
            printer=plate.printer,
            filament=plate.filament,
            colour=self.colours[plate.filament],
            pieces=self.voice.count(plate.pieces, "piece"),
            minutes=f"{self.voice.number(plate.minutes)} min",
            grams=f"{self.voice.number(plate.mass_g)} g",
            bed=self.voice.percent(100 * plate.bed_share, 0),
        )

    def beds(self) -> Iterator[BedShown]:
        plates = self.plan.plates
        bounds = plate_bounds(plates, self.parts, self.book.printers, self.book.filaments, self.plan.factors)
        for bound in bounds:
            shares = [
                plate.bed_share
                for plate in plates
                if (plate.filament, plate.printer) == (bound.filament, bound.printer)
            ]
            yield BedShown(
                filament=bound.filament,
                colour=self.colours[bound.filament],
                printer=bound.printer,
                plates=bound.plates,
                fewest=bound.bound,
                limit=LIMITS[bound.limit],
                bed=self.voice.percent(100 * sum(shares) / len(shares), 0),
            )

    def energy(self) -> Iterator[EnergyShown]:
        """By phase; a cost is a line of the price, rounded once, so phases have none of their own."""
        plan, costs = self.plan, {line.code: line.amount for line in self.found.price.lines}
        heating = round(sum(heating_kwh(self.printers[p.printer], p.minutes) for p in plan.plates), 2)
        rows = (
            ("Heating up", heating, ""),
            ("Printing", plan.energy_kwh - heating, ""),
            ("Plates", plan.energy_kwh, "machine.energy"),
            ("Reprints, as expected", plan.reprint_energy_kwh, "reprints.energy"),
        )
        for text, kwh, code in rows:
            cost = self.voice.money(costs[code]) if code in costs else ""
            yield EnergyShown(text, self.voice.number(kwh, 2), cost)

    @property
    def energy_rate(self) -> str:
        return f"{self.voice.money(self.book.energy_per_kwh)} a kWh"

    def filaments(self) -> Iterator[FilamentShown]:
        return map(self._filament, self.plan.filaments)

    def _filament(self, use: FilamentUse) -> FilamentShown:
        number = self.voice.number
        rows = [row for row in self.shop.stock if row.filament == use.filament]
        return FilamentShown(
            name=use.filament,
            colour=self.colours[use.filament],
            panel=number(use.panel_g),
            spares=number(use.spares_g),
            starts=number(use.starts_g),
            purge=number(use.purge_g),
            reprints=number(use.reprints_g),
            needed=number(use.mass_g),
            shelf=number(sum(row.shelf_g for row in rows)),
            promised=number(sum(row.promised_g for row in rows)),
            buy=self.voice.count(use.spools_to_buy, "spool") if use.spools_to_buy else "none",
        )

    def changes(self) -> Iterator[ChangeShown]:
        for change in changes_of(self.plan.plates, self.book.printers):
            yield ChangeShown(
                filament=change.filament,
                colour=self.colours[change.filament],
                printer=change.printer.name,
                times=change.times,
                minutes=self.voice.number(change.minutes),
            )


def spans(numbers: Sequence[int]) -> str:
    """Ascending numbers as a person says them: "1 to 3, 7, 9, 10"."""
    runs = [
        [number for _, number in run]
        for _, run in groupby(enumerate(numbers), lambda pair: pair[1] - pair[0])
    ]
    return ", ".join(f"{run[0]} to {run[-1]}" if len(run) > 2 else ", ".join(map(str, run)) for run in runs)
