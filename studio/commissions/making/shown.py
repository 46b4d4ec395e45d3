"""How an option is made, as texts and pictures: plates, beds, dates, energy, filaments, colour changes."""

from collections.abc import Iterator, Sequence
from decimal import Decimal
from functools import partial
from itertools import groupby
from statistics import fmean

from django.utils.safestring import SafeString, mark_safe

from studio.commissions.date_words import place_words, waits_words
from studio.commissions.making.light_shown import LightShown
from studio.drawing.plate_picture import plate_svg
from studio.drawing.runs_chart import runs_charts
from studio.estimate.result import Estimate
from studio.making.bounds import PlateBound, plate_bounds
from studio.making.chances import COURSES
from studio.making.changes import Change, changes_of
from studio.making.plan import FilamentUse, heating_kwh
from studio.making.plate import Plate
from studio.making.shop import ShopState
from studio.pricing.rate_book import RateBook
from studio.voice import Voice

__all__ = ["LIMITS", "MakingShown", "spans"]

LIMITS = {
    "bed": "the area of the bed",
    "large pieces": "large pieces, each with a bed of its own",
    "longest run": "the printer’s longest run",
    "spool": "one spool a plate",
}


class MakingShown:
    """Texts are in the studio's own manner; `shop` is the workshop for which the dates were found. `colours`
    are those of the filaments."""

    def __init__(self, found: Estimate, book: RateBook, shop: ShopState, voice: Voice) -> None:
        self.found, self.book, self.shop, self.voice = found, book, shop, voice
        self.plan, self.parts = found.plan, found.bill.parts
        self.colours, self.printers = book.colours, {printer.name: printer for printer in book.printers}

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
        deposit, samples = (
            self.voice.count(each, "day") for each in (self.shop.deposit_days, self.shop.sample_days)
        )
        yield "Begins", f"{day(dates.starts_on)}, {deposit} for the deposit and {samples} for the colours"
        if dates.waits:
            yield "Waits for", waits_words(list(dates.waits), self.voice)
        yield "Last plate off", day(dates.printed_on)
        yield "Expected ready", f"{day(dates.ready_on)}, {days(dates.working_days)}"
        yield "Ready, as promised", f"{day(dates.held_on)}, {days(dates.held_working_days)}"
        if dates.hung_from:
            place = place_words(self.found.brief.terms.delivery, self.found.brief.space.mounting)
            there = (
                f"{days(dates.site_days)} there"
                if dates.site_days
                else f"{days(dates.road_days)} on the road"
            )
            yield place.capitalize(), f"from {day(dates.hung_from)}, {there}"

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

    def plates(self) -> Iterator[tuple[Plate, str, int, SafeString]]:
        """Each different plate once, in the order of the plan: its numbers, how many, its picture."""
        numbers: dict[Plate, list[int]] = {}
        for number, plate in enumerate(self.plan.plates, 1):
            numbers.setdefault(plate, []).append(number)
        for plate, own in numbers.items():
            yield plate, spans(own), len(own), self._picture(plate, own)

    def _picture(self, plate: Plate, numbers: list[int]) -> SafeString:
        title, ident = f"Plate {spans(numbers)}", f"plate-{numbers[0]}"
        printers = self.book.printers
        picture = plate_svg(
            plate, self.parts, printers, self.colours, title=title, ident=ident, voice=self.voice
        )
        return mark_safe(picture)  # noqa: S308 -- our own SVG, texts escaped in it

    def beds(self) -> Iterator[tuple[PlateBound, str, float]]:
        """Plates of a filament on a kind of printer against a bound that none can be below, what binds,
        and the share of their beds that is covered."""
        plan, book = self.plan, self.book
        shares: dict[tuple[str, str], list[float]] = {}
        for plate in plan.plates:
            shares.setdefault((plate.filament, plate.printer), []).append(plate.bed_share)
        for bound in plate_bounds(plan.plates, self.parts, book.printers, book.filaments, plan.factors):
            yield bound, LIMITS[bound.limit], fmean(shares[bound.filament, bound.printer])

    def energy(self) -> Iterator[tuple[str, float, Decimal | None]]:
        """kWh by phase; a cost is a line of the price, rounded once, so phases have none of their own."""
        plan, costs = self.plan, {line.code: line.amount for line in self.found.price.lines}
        heating = round(sum(heating_kwh(self.printers[p.printer], p.minutes) for p in plan.plates), 2)
        yield "Heating up", heating, None
        yield "Printing", plan.energy_kwh - heating, None
        yield "Plates", plan.energy_kwh, costs.get("machine.energy")
        yield "Reprints, as expected", plan.reprint_energy_kwh, costs.get("reprints.energy")

    def filaments(self) -> Iterator[tuple[FilamentUse, float, float]]:
        """With the grams on the shelf, and those of them that others are promised."""
        for use in self.plan.filaments:
            rows = [row for row in self.shop.stock if row.filament == use.filament]
            yield use, sum(row.shelf_g for row in rows), sum(row.promised_g for row in rows)

    @property
    def light(self) -> LightShown | None:
        return LightShown(self.found.light, self.found, self.voice) if self.found.light else None

    def changes(self) -> tuple[Change, ...]:
        return changes_of(self.plan.plates, self.book.printers)


def spans(numbers: Sequence[int]) -> str:
    """Ascending numbers as a person says them: "1 to 3, 7, 9, 10"."""
    runs = [
        [number for _, number in run]
        for _, run in groupby(enumerate(numbers), lambda pair: pair[1] - pair[0])
    ]
    return ", ".join(f"{run[0]} to {run[-1]}" if len(run) > 2 else ", ".join(map(str, run)) for run in runs)
