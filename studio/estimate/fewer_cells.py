"""Fewer cells: larger ones in the same opening, or a smaller panel."""

from collections.abc import Callable, Iterable
from contextlib import suppress
from dataclasses import replace
from decimal import ROUND_HALF_UP, Decimal
from functools import partial

from studio.estimate.brief import Brief
from studio.lattice.composition import Composition
from studio.lattice.design import Design
from studio.lattice.fit import Fit, best_fit
from studio.problem import Refused
from studio.voice import Spoken, count, length, said

__all__ = ["STEP_MM", "Steps", "Told", "larger_cells", "redesigned", "smaller_panel", "stepped"]

LARGER = tuple(map(Decimal, ("1.05", "1.1", "1.2", "1.4", "1.6", "2")))
SMALLER = (0.9, 0.8, 0.7)
"""Shares of width and height that a smaller panel keeps: at 0.7 half of the picture is left."""
LARGEST_SIDE_MM, STEP_MM = Decimal(400), Decimal("0.5")
NEAR_PERCENT = Decimal(5)
"""Play of a larger side: with more of it, most levels would come to the same few sides."""
SAME_SIZE = 0.95
"""A panel that keeps this share of its width and height is about the same size; else the words tell both."""

Told = Callable[[Composition], str]
Steps = Iterable[tuple[Told, float, Callable[[Brief], Brief]]]
"""What is told, what is lost, and the change; a `Level` says more of each."""


def redesigned(change: Callable[[Design], Design]) -> Callable[[Brief], Brief]:
    return lambda brief: replace(brief, design=change(brief.design))


def larger_cells(brief: Brief, composition: Composition) -> Steps:
    """Larger cells. Each level is held to the side that its fit takes."""
    now, largest = composition.fit, 0.0
    for factor in LARGER:
        with suppress(Refused):  # not one whole cell fits
            larger = _larger(brief.design, now, factor)
            fit = best_fit(larger, brief.space)
            if max(now.cell_side_mm, largest) < fit.cell_side_mm <= LARGEST_SIDE_MM:
                largest = fit.cell_side_mm
                lost = fit.cell_side_mm / now.cell_side_mm - 1 + max(0.0, 1 - _area(fit) / _area(now))
                yield partial(_larger_told, composition, fit), lost, redesigned(partial(_held, larger, fit))


def _larger(design: Design, now: Fit, factor: Decimal) -> Design:
    """As many cells as fit; where the design counts its columns or rows, as many as there is room for in the
    size that it has now."""
    side_now = Decimal(str(now.cell_side_mm))
    side = min(LARGEST_SIDE_MM, stepped(side_now * factor, STEP_MM))

    def scaled(count: int | None) -> int | None:
        return count and max(1, int(count * side_now / side))

    free = design.columns is None and design.rows is None
    return replace(
        design,
        cell_side_mm=side,
        side_play_percent=min(design.side_play_percent, NEAR_PERCENT) if free else Decimal(0),
        columns=scaled(design.columns),
        rows=scaled(design.rows),
    )


def _held(larger: Design, fit: Fit, design: Design) -> Design:
    return replace(
        design,
        cell_side_mm=Decimal(str(fit.cell_side_mm)),
        side_play_percent=Decimal(0),
        columns=larger.columns,
        rows=larger.rows,
        seams_after_columns=(),
        seams_after_rows=(),
    )


def _area(fit: Fit) -> float:
    return fit.width_mm * fit.height_mm


def _larger_told(before: Composition, larger: Fit, made: Composition) -> str:
    """The sides, and what these alone do: a smaller panel, single cells that have no place any more."""
    old, new = before.fit, made.fit
    words = said("cells of {} instead of {}", length(new.cell_side_mm), length(old.cell_side_mm))
    if _area(new) < _area(larger):
        return words
    if new.width_mm < SAME_SIZE * old.width_mm or new.height_mm < SAME_SIZE * old.height_mm:
        words = said("{}, {}", words, _sizes_told(old, new))
    return said("{}{}", words, _places_lost(before, made))


def _sizes_told(old: Fit, new: Fit) -> str:
    return said("the panel {} by {} instead of {} by {}", *_size(new), *_size(old))


def _places_lost(before: Composition, made: Composition) -> str:
    """Single cells, and seams that the maker had fixed: they count cells that are not there any more."""
    lost = len(made.outside) - len(before.outside)
    words = said(", without {}", count(lost, "single cell")) if lost > 0 else ""
    return said("{}, without the fixed seams", words) if any(before.design.seam_lines) else words


def _size(fit: Fit) -> tuple[Spoken, Spoken]:
    return length(fit.width_mm, 0), length(fit.height_mm, 0)


def smaller_panel(brief: Brief, composition: Composition) -> Steps:
    """A smaller panel in the same opening, in whole cells; a frame that is there is filled."""
    if brief.space.mounting == "in a frame":
        return
    least = composition.fit
    for share in SMALLER:
        fit = best_fit(_made_smaller(share, brief).design, brief.space)
        if _area(fit) < _area(least):
            least = fit
            lost = 1 - _area(fit) / _area(composition.fit)
            yield partial(_smaller_told, composition), lost, partial(_made_smaller, share)


def _made_smaller(share: float, brief: Brief) -> Brief:
    """Fewer cells of the side that the brief's fit takes; the brief itself where there are too few."""
    fit = best_fit(brief.design, brief.space)
    counts = (fit.columns, fit.rows)
    fewer = tuple(_fewer(number, share, least) for number, least in zip(counts, fit.kind.least, strict=True))
    if fewer == counts:
        return brief
    columns, rows = fewer
    bare = replace(brief.design, columns=columns, rows=rows, seams_after_columns=(), seams_after_rows=())
    held = replace(bare, cell_side_mm=Decimal(str(fit.cell_side_mm)), side_play_percent=Decimal(0))
    return replace(brief, design=held)


def _fewer(number: int, share: float, least: int) -> int:
    """About this share of the cells, but as even or odd as they are: the symmetry of lattice and arrangement
    hangs on it."""
    taken = 2 * round(number * (1 - share) / 2)
    return number - taken if number - taken >= least else number


def _smaller_told(before: Composition, made: Composition) -> str:
    return said("{}{}", _sizes_told(before.fit, made.fit), _places_lost(before, made))


def stepped(length_mm: Decimal, step_mm: Decimal) -> Decimal:
    return (length_mm / step_mm).to_integral_value(ROUND_HALF_UP) * step_mm
