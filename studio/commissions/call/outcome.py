"""What an estimate says on the call page, price, date, what is in it, warnings."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from studio.commissions.call.single_cells import off_the_panel
from studio.commissions.date_words import hangs_on, place_words
from studio.commissions.factor_words import factor_words
from studio.commissions.held_words import held_words
from studio.commissions.light_words import light_words
from studio.commissions.words import SYMMETRIES
from studio.estimate.result import Estimate
from studio.lattice.drawn_symmetry import drawn_symmetry
from studio.lattice.part import Part
from studio.lattice.patterns import pattern
from studio.pricing.price_words import price_words
from studio.pricing.rate_book import RateBook
from studio.pricing.sheet import PriceLine
from studio.pricing.totals import Total, totals
from studio.problem import Problem
from studio.voice import Voice

__all__ = ["Before", "Outcome"]

GROUPS = (
    ("material", "Material"), ("machine", "Printing"), ("labour", "Labour"), ("bought-in", "Bought in"),
    ("reprints", "Reprints"), ("overhead", "Overhead"), ("margin", "Margin"),
    ("shares", "Shares of the price"), ("adjustment", "Adjustments"),
)  # fmt: skip


@dataclass(frozen=True)
class Before:
    """The figures that stood before a change, in minor units and days."""

    gross: Decimal | None
    net: Decimal | None
    ready_on: date | None


class Outcome:
    """What the page says of an estimate. `price` is the one that the client reads first; `changed` and
    `moved` are the differences to before, in money and days."""

    def __init__(self, found: Estimate, book: RateBook, voice: Voice, before: Before | None = None) -> None:
        gross, ready_on = found.brief.terms.gross_first, found.dates.held_on
        self.found, self.book, self.voice = found, book, voice
        self.price, self.other = found.price.gross, found.price.net
        treatments = {line.treatment for line in found.price.taxes}
        self.price_is, self.other_is = price_words(gross, treatments), price_words(not gross, treatments)
        self.taxed = "taxed" in treatments
        if not gross:
            self.price, self.other = self.other, self.price
        was = (before.gross if gross else before.net) if before else None
        self.changed = Decimal(0) if was is None else self.price - was
        self.moved = (ready_on - before.ready_on).days if before and before.ready_on else 0
        self.days_moved = abs(self.moved)
        self.known, self.space = found.price_range, found.brief.space
        self.range = self.known and (self.known.gross if gross else self.known.net)

    @property
    def ranging(self) -> bool:
        """Whether there is more of the range to be worked out."""
        return not self.space.taped_by_us and (self.known is None or self.known.priced < self.known.fits)

    @property
    def in_place(self) -> bool:
        """Whether the range stands where the price does: it is worked out, and nobody has taped the space."""
        return bool(self.known) and not self.ranging and not self.space.measured

    @property
    def place(self) -> str:
        brief = self.found.brief
        return place_words(brief.terms.delivery, brief.space.mounting).capitalize()

    @property
    def hangs_on(self) -> str:
        return hangs_on(self.found.dates, self.voice)

    @property
    def warnings(self) -> tuple[Problem, ...]:
        gone = off_the_panel(self.found.composition.outside)
        return (gone, *self.found.warnings) if gone else self.found.warnings

    @property
    def examples(self) -> int:
        """Lines of the price with example rates in them."""
        lines = self.found.price.lines
        return sum("example rate" in {each.origin for each in line.working.inputs} for line in lines)

    @property
    def fit(self) -> tuple[str, ...]:
        fit, error, length = self.found.bill.fit, self.found.size_error, self.voice.length
        across, up = map(length, fit.left_over_mm)
        error_said = f"±{length(error.across_mm)} wide and ±{length(error.up_mm)} high"
        return (
            f"{fit.kind.counted(fit.columns, fit.rows)} of {length(fit.cell_side_mm)}",
            f"{length(fit.width_mm)} × {length(fit.height_mm)} over all",
            f"left over {across} across, {up} up",
            SYMMETRIES[drawn_symmetry(self.found.composition)],
            f"the whole may come out {error_said} from this",
        )

    def facts(self) -> Iterator[tuple[str, str]]:
        found, bill, plan, voice = self.found, self.found.bill, self.found.plan, self.voice
        whole, half, quarter = bill.cells
        halves = f", {voice.number(half)} half" if half else ""
        quarters = f", {voice.number(quarter)} quarter" if quarter else ""
        yield "Cells", f"{voice.number(whole)} whole{halves}{quarters}"
        yield "Pieces", voice.number(sum(part.count for part in bill.infills))
        ground = "lattice and edging" if found.brief.design.edging_width_mm else "lattice"
        yield "Colours", f"{bill.colours}, {ground} among them"
        yield "Sections", f"{len(bill.sections)}, carried as {len(bill.modules)}"
        yield "Plates", f"{len(plan.plates)}, {voice.hours(plan.print_minutes)} of printing"
        for words in factor_words(plan.factors, self.book.measured, voice):
            yield "Measured", words
        yield "Energy", f"{voice.number(plan.energy_kwh + plan.reprint_energy_kwh, 1)} kWh, reprints included"
        yield "Labour", voice.hours(found.price.labour_minutes)
        yield "Printed mass", voice.mass(plan.panel_mass_g, 2)
        if found.light:
            yield "Light", light_words(found.light, voice)
        yield from held_words(found, voice)
        if bill.hangers and not found.hanging:
            factor = voice.quantity(self.book.hanger_safety_factor)
            load, times = voice.load(found.hanger_load_needed_g), f"the heaviest module {factor} times over"
            yield "Hangers", f"{bill.hangers}, each to hold {load} (any two carry {times})"
        of = "net" if self.price_is else "the price"
        yield "Margin kept", f"{voice.percent(found.price.margin_percent, 1)} of {of}"
        worst = found.margins[-1]
        yield (
            "In the worst 2 of 10",
            f"{voice.percent(worst.percent, 1)} of {of}, {voice.money(worst.margin)}",
        )

    def pieces(self) -> Iterator[tuple[str, Part]]:
        """What each infill piece is called."""
        design = self.found.brief.design
        for part in self.found.bill.infills:
            name = pattern(part.pattern, design.lattice, design.own_patterns).name
            yield f"{name}, {part.size}", part

    def groups(self) -> Iterator[tuple[str, Decimal, list[PriceLine]]]:
        for group, text in GROUPS:
            if own := [line for line in self.found.price.lines if line.group == group]:
                yield text, sum((line.amount for line in own), Decimal(0)), own

    def totals(self) -> Iterator[Total]:
        """From net to the last deposit; cost and margin stand in the groups."""
        every = totals(self.found.price, self.book, self.found.brief.terms)
        return (total for total in every if total[0] not in ("Cost", "Margin left"))
