"""Every fit of an opening, the four lattices side by side, with a price for the best five."""

from collections.abc import Iterable, Iterator
from contextlib import suppress
from dataclasses import dataclass, replace
from decimal import Decimal

from studio.estimate.brief import Brief
from studio.estimate.priced import Priced, price_up
from studio.lattice.bill import count_cells
from studio.lattice.cells import cells_of
from studio.lattice.design import Design
from studio.lattice.fit import Fit, best_fit, fits, refuse_unprintable
from studio.lattice.infills import infills_of
from studio.lattice.kinds import KINDS, LatticeKind
from studio.lattice.least_side import least_side_mm
from studio.lattice.patterns import pattern_of
from studio.lattice.refit import held_to, in_lattice, seams_outside
from studio.lattice.sections import BedLimit, high_enough
from studio.lattice.split import split
from studio.making.shop import ShopState
from studio.pricing.rate_book import RateBook
from studio.problem import Problem, Refused
from studio.voice import at_least, length, said

__all__ = ["FitRow", "FitTable", "Unfit", "fit_table"]

PRICED, MOST_TRIES = 5, 8
MOST_ROWS_EACH = 12
"""Of a lattice; a range of a quarter either way gives hundreds, and the best say it all."""


@dataclass(frozen=True, eq=False)
class FitRow:
    """One fit. `design` is the brief's in this lattice, held to this fit, and `given_up` what it had to give
    up for the lattice. `sections` are the fewest that the beds allow; where there is a `priced`, those that
    would be made. `trouble` is why there can be no such panel."""

    design: Design
    fit: Fit
    given_up: tuple[str, ...]
    cells: tuple[int, int, int]
    sections: int
    priced: Priced | None = None
    trouble: Problem | None = None


@dataclass(frozen=True, slots=True)
class Unfit:
    """A lattice of which not one whole cell fits, and why."""

    lattice: LatticeKind
    troubles: tuple[Problem, ...]


@dataclass(frozen=True, eq=False)
class FitTable:
    """`rows` over all lattices, the best first, those in trouble last; `more` counts the fits of each lattice
    that are not shown."""

    rows: tuple[FitRow, ...]
    more: dict[LatticeKind, int]
    unfit: tuple[Unfit, ...]


def fit_table(brief: Brief, rate_book: RateBook, shop_state: ShopState) -> FitTable:
    """Each side within the brief's play with as many cells as fit, whatever counts its design asks for.

    Ranked as fits are: by the larger relative left-over, then by nearness to the wanted side. The first of
    each lattice and then the best of all the rest are made and priced, five together, as an estimate would;
    one that cannot be made says why and the next is tried.
    """
    rows: list[FitRow] = []
    more: dict[LatticeKind, int] = {}
    unfit = []
    for lattice in KINDS:
        design, given_up = in_lattice(replace(brief.design, columns=None, rows=None), lattice)
        found = fits(design, brief.space)
        if not found:
            unfit.append(Unfit(lattice, _why_none(design, brief)))
            continue
        more[lattice] = len(found[MOST_ROWS_EACH:])
        least_mm = _least_side_mm(design, min(fit.cell_side_mm for fit in found))
        rows += (_row(design, fit, given_up, least_mm, rate_book) for fit in found[:MOST_ROWS_EACH])
    ranked = sorted(rows, key=lambda row: _rank(row, brief.design.cell_side_mm))
    priced = _priced(ranked, brief, rate_book, shop_state)
    return FitTable(tuple(sorted(priced, key=lambda row: row.trouble is not None)), more, tuple(unfit))


def _why_none(design: Design, brief: Brief) -> tuple[Problem, ...]:
    try:
        best_fit(design, brief.space)
    except Refused as refused:
        return refused.problems
    return ()


def _least_side_mm(design: Design, smallest_mm: float) -> float | Problem:
    """The smallest side at which all the patterns can be printed, or `smallest_mm` where that will do; the
    reason where no side will."""
    with suppress(Refused):
        refuse_unprintable(design, smallest_mm)
        return smallest_mm
    lengths = (
        float(design.strip_width_mm),
        float(design.infill_strip_mm),
        float(design.clearance_mm),
        design.kind.angle_deg(design.angle_deg),
    )
    try:
        used = {pattern_of(design, infill) for infill in infills_of(design).values()}
        return max(least_side_mm(pattern, *lengths) for pattern in used)
    except Refused as refused:
        return refused.problems[0]


def _row(
    design: Design, fit: Fit, given_up: tuple[str, ...], least_mm: float | Problem, book: RateBook
) -> FitRow:
    beds = [BedLimit(*printer.usable_mm, printer.height_mm) for printer in book.printers]
    trouble = least_mm if isinstance(least_mm, Problem) else _too_small(fit, least_mm)
    sections = 0
    try:
        sections = split(fit, high_enough(design, beds), held_to(design, fit).seam_lines).sections
    except Refused as refused:
        trouble = trouble or refused.problems[0]
    cells = count_cells(cells_of(fit).shape)
    lost = *given_up, *seams_outside(design, fit)
    return FitRow(held_to(design, fit), fit, lost, cells, sections, trouble=trouble)


def _too_small(fit: Fit, least_mm: float) -> Problem | None:
    if fit.cell_side_mm >= least_mm:
        return None
    reason = said("the patterns cannot be printed in cells of {}", length(fit.cell_side_mm))
    return Problem("design.cell_side_mm", reason, said("cells of at least {}", at_least(least_mm)))


def _rank(row: FitRow, wanted_mm: Decimal) -> tuple[bool, float, float, int]:
    fit = row.fit
    openings_mm = fit.width_mm + fit.left_over_mm[0], fit.height_mm + fit.left_over_mm[1]
    over = max(left / opening for left, opening in zip(fit.left_over_mm, openings_mm, strict=True))
    far = abs(fit.cell_side_mm - float(wanted_mm))
    return row.trouble is not None, round(over, 9), round(far, 9), list(KINDS).index(fit.lattice)


def _priced(rows: list[FitRow], brief: Brief, book: RateBook, shop: ShopState) -> list[FitRow]:
    """The rows in their order, some of them with a price or with the reason why there is none."""
    found, offers = list(rows), 0
    for place in list(_in_turn(rows))[:MOST_TRIES]:
        if offers == PRICED:
            break
        row = rows[place]
        try:
            priced = price_up(replace(brief, design=row.design), book, shop)
        except Refused as refused:
            found[place] = replace(row, trouble=refused.problems[0])
            continue
        found[place] = replace(row, priced=priced, sections=len(priced.bill.sections))
        offers += 1
    return found


def _in_turn(rows: list[FitRow]) -> Iterator[int]:
    """Places of the rows without trouble: the first of each lattice, then the others as they are ranked."""
    sound = [place for place, row in enumerate(rows) if row.trouble is None]
    firsts = list(_firsts(rows, sound))
    yield from firsts
    yield from (place for place in sound if place not in firsts)


def _firsts(rows: list[FitRow], places: Iterable[int]) -> Iterator[int]:
    seen = set()
    for place in places:
        if rows[place].fit.lattice not in seen:
            seen.add(rows[place].fit.lattice)
            yield place
