"""What an estimate says on the call page, as texts: price, date, what is in it, warnings."""

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from studio.commissions.call.single_cells import off_the_panel
from studio.commissions.factor_words import factor_words
from studio.commissions.lines_shown import LineShown, inputs_shown, shown_line
from studio.commissions.words import SYMMETRIES
from studio.estimate.result import Estimate
from studio.forms import sentence
from studio.lattice.patterns import pattern
from studio.pricing.rate_book import RateBook
from studio.pricing.sheet import PriceLine
from studio.pricing.totals import totals
from studio.problem import Problem
from studio.voice import Voice

__all__ = ["Outcome", "Before", "outcome_of"]

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
    ready_on: object | None


@dataclass(frozen=True)
class CostGroup:
    text: str
    amount: str
    lines: tuple[LineShown, ...]


@dataclass(frozen=True)
class Outcome:
    """Everything as it is to be read. `changed` and `moved` are the differences to before, or empty."""

    price: str
    price_is: str
    other_price: str
    price_range: str
    changed: str
    ready: str
    ready_is: str
    moved: str
    fit: tuple[str, ...]
    facts: tuple[tuple[str, str], ...]
    pieces: tuple[tuple[str, str, str], ...]
    filaments: tuple[tuple[str, str, str], ...]
    groups: tuple[CostGroup, ...]
    totals: tuple[LineShown, ...]
    warnings: tuple[str, ...]
    cautions: tuple[str, ...]
    examples: int


def outcome_of(found: Estimate, book: RateBook, voice: Voice, before: Before | None = None) -> Outcome:
    price, consumer = found.price, found.brief.terms.client_kind == "consumer"
    main, other = (price.gross, price.net) if consumer else (price.net, price.gross)
    was = (before.gross if consumer else before.net) if before else None
    words = ("with tax", "without tax")
    return Outcome(
        price=voice.money(main),
        price_is=words[not consumer],
        other_price=f"{voice.money(other)} {words[consumer]}",
        price_range=_range(found, voice, consumer),
        changed=voice.difference(main - was) if was is not None and was != main else "",
        ready=voice.weekday(found.dates.held_on),
        ready_is=_held(found, voice),
        moved=_moved(found, voice, before),
        fit=_fit(found, voice),
        facts=tuple(_facts(found, book, voice)),
        pieces=tuple(_pieces(found, voice)),
        filaments=tuple(_filaments(found, voice)),
        groups=tuple(_groups(price.lines, voice)),
        totals=_totals(found, book, voice),
        warnings=tuple(sentence(warning, voice) for warning in _warnings(found)),
        cautions=tuple(map(voice.say, found.cautions)),
        examples=sum("example rate" in {i.origin for i in line.working.inputs} for line in price.lines),
    )


def _warnings(found: Estimate) -> tuple[Problem, ...]:
    gone = off_the_panel(found.composition.outside)
    return (gone, *found.warnings) if gone else found.warnings


def _range(found: Estimate, voice: Voice, consumer: bool) -> str:
    if found.price_range is None:
        return ""
    low, high = found.price_range.gross if consumer else found.price_range.net
    return f"{voice.money(low)} to {voice.money(high)}"


def _held(found: Estimate, voice: Voice) -> str:
    """The date that is promised holds in 8 of 10 cases; the expected one takes no bad luck."""
    dates = found.dates
    told = f"{voice.count(dates.held_working_days, 'working day')} from deposit and approved colours"
    told += "; holds in 8 of 10 cases"
    return told if dates.held_on == dates.ready_on else f"{told}, expected {voice.weekday(dates.ready_on)}"


def _moved(found: Estimate, voice: Voice, before: Before | None) -> str:
    if before is None or before.ready_on is None or before.ready_on == found.dates.held_on:
        return ""
    days = (found.dates.held_on - before.ready_on).days  # type: ignore[operator]
    return f"{voice.count(abs(days), 'day')} {'later' if days > 0 else 'earlier'}"


def _fit(found: Estimate, voice: Voice) -> tuple[str, ...]:
    fit = found.bill.fit
    width, height = (voice.length(size) for size in (fit.width_mm, fit.height_mm))
    across, up = (voice.length(left) for left in fit.left_over_mm)
    return (
        f"{fit.kind.counted(fit.columns, fit.rows)} of {voice.length(fit.cell_side_mm)}",
        f"{width} × {height} over all",
        f"left over {across} across, {up} up",
        SYMMETRIES[fit.symmetry],
        f"the whole may come out {_error(found, voice)} from this",
    )


def _error(found: Estimate, voice: Voice) -> str:
    error = found.size_error
    return f"±{voice.length(error.across_mm)} wide and ±{voice.length(error.up_mm)} high"


def _facts(found: Estimate, book: RateBook, voice: Voice) -> Iterator[tuple[str, str]]:
    bill, plan = found.bill, found.plan
    whole, half, quarter = bill.cells
    halves = f", {voice.number(half)} half" if half else ""
    quarters = f", {voice.number(quarter)} quarter" if quarter else ""
    yield "Cells", f"{voice.number(whole)} whole{halves}{quarters}"
    yield "Pieces", voice.number(sum(part.count for part in bill.infills))
    ground = "lattice and edging" if found.brief.design.edging_width_mm else "lattice"
    yield "Colours", f"{bill.colours}, {ground} among them"
    yield "Sections", f"{len(bill.sections)}, carried as {len(bill.modules)}"
    yield "Plates", f"{len(plan.plates)}, {voice.hours(plan.print_minutes)} of printing"
    for words in factor_words(plan.factors, book.measured, voice):
        yield "Measured", words
    yield "Energy", f"{voice.number(plan.energy_kwh + plan.reprint_energy_kwh, 1)} kWh, reprints included"
    yield "Labour", voice.hours(found.price.labour_minutes)
    yield "Printed mass", voice.mass(plan.panel_mass_g, 2)
    if bill.hangers:
        times = f"any two carry the heaviest module {voice.quantity(book.hanger_safety_factor)} times over"
        load = voice.load(found.hanger_load_needed_g)
        yield "Hangers", f"{bill.hangers}, each to hold {load} ({times})"
    yield "Margin kept", f"{voice.percent(found.price.margin_percent, 1)} of net"
    worst = found.margins[-1]
    yield "In the worst 2 of 10", f"{voice.percent(worst.percent, 1)} of net, {voice.money(worst.margin)}"


def _pieces(found: Estimate, voice: Voice) -> Iterator[tuple[str, str, str]]:
    design = found.brief.design
    for part in found.bill.infills:
        yield (
            f"{pattern(part.pattern, design.lattice, design.own_patterns).name}, {part.size}",
            part.filament,
            f"{voice.number(part.count)} + {voice.number(part.spares)}",
        )


def _filaments(found: Estimate, voice: Voice) -> Iterator[tuple[str, str, str]]:
    for use in found.plan.filaments:
        buy = f"buy {use.spools_to_buy}" if use.spools_to_buy else "on the shelf"
        yield use.filament, f"{voice.number(use.mass_g)} g", buy


def _groups(lines: tuple[PriceLine, ...], voice: Voice) -> Iterator[CostGroup]:
    for group, text in GROUPS:
        own = [line for line in lines if line.group == group]
        if own:
            total = sum((line.amount for line in own), Decimal(0))
            yield CostGroup(text, voice.money(total), tuple(shown_line(line, voice) for line in own))


def _totals(found: Estimate, book: RateBook, voice: Voice) -> tuple[LineShown, ...]:
    """From net to the last deposit; cost and margin stand in the groups."""
    return tuple(
        LineShown(text, "", voice.money(amount), working.formula, inputs_shown(working, voice))
        for text, amount, working in totals(found.price, book, found.brief.terms)
        if text not in ("Cost", "Margin left")
    )
