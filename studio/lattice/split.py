"""Where the ground lattice is cut so that each section can be printed: along lattice lines, in balanced
sizes."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import accumulate
from math import ceil, floor

from studio.lattice.fit import COLUMN, ROW, Fit
from studio.problem import Refused

__all__ = ["TOLERANCE_MM", "BedLimit", "Cuts", "even", "split"]

TOLERANCE_MM = 1e-6
"""Sizes that differ by less are equal."""


@dataclass(frozen=True, slots=True)
class BedLimit:
    """What a printer takes: usable width and depth of its bed, and height."""

    width_mm: float
    depth_mm: float
    height_mm: float

    def __str__(self) -> str:
        return f"{self.width_mm:.1f} mm by {self.depth_mm:.1f} mm"


@dataclass(frozen=True, slots=True)
class Cuts:
    """First columns and first rows of the sections, and the ends: (0, 8, 16) are two sections of 8."""

    columns: tuple[int, ...]
    rows: tuple[int, ...]

    @property
    def sections(self) -> int:
        return (len(self.columns) - 1) * (len(self.rows) - 1)

    def seam_mm(self, fit: Fit) -> float:
        """Length of all seams. A horizontal one runs along one side of each column, so that in a three-way
        lattice it zigzags and is 2/sqrt(3) times as long as the panel is wide."""
        upright, level = len(self.columns) - 2, len(self.rows) - 2
        return upright * fit.lattice_height_mm + level * fit.columns * fit.cell_side_mm


def split(fit: Fit, beds: Iterable[BedLimit]) -> Cuts:
    """The cuts into fewest sections, then with the shortest seams, for the bed that suits best, a section
    lying on it either way. Raises Refused when every bed is smaller than a section can be, and says by how
    much."""
    beds = tuple(beds)
    found = [cuts for width, height in _limits(beds) if (cuts := _cut(fit, width, height))]
    if not found:
        raise _too_small(fit, beds)
    return min(found, key=lambda cuts: (cuts.sections, cuts.seam_mm(fit)))


def even(total: int, parts: int) -> tuple[int, ...]:
    """`total` in whole parts that differ by one at most, the larger ones in the middle."""
    least, larger = divmod(total, parts)
    before = (parts - larger) // 2
    return tuple(least + (before <= i < before + larger) for i in range(parts))


def _limits(beds: Iterable[BedLimit]) -> Iterator[tuple[float, float]]:
    for bed in beds:
        yield bed.width_mm, bed.depth_mm
        yield bed.depth_mm, bed.width_mm


def _cut(fit: Fit, width_mm: float, height_mm: float) -> Cuts | None:
    columns = floor((width_mm + TOLERANCE_MM) / (COLUMN[fit.lattice] * fit.cell_side_mm))
    rows = floor((height_mm + TOLERANCE_MM) / (ROW[fit.lattice] * fit.cell_side_mm))
    if columns < 1 or rows < _least_rows(fit):
        return None
    wide = even(fit.columns, ceil(fit.columns / columns))
    high = _square_rows(fit, rows) if fit.lattice == "square" else _three_way_rows(fit, rows)
    return Cuts(tuple(accumulate(wide, initial=0)), tuple(accumulate(high, initial=0)))


def _square_rows(fit: Fit, most: int) -> tuple[int, ...]:
    return even(fit.rows, ceil(fit.rows / most))


def _three_way_rows(fit: Fit, most: int) -> tuple[int, ...]:
    """Rows of cells in each section, at most `most` half sides high.

    A section of r rows is r half sides high at the panel's bottom or top, r + 1 between, because its cells
    stand out above and below; p sections are k - 1 + p half sides high together, which are shared out evenly.
    Each gets two rows or more: in a single row, cells meet only in pairs, and the section would fall apart.
    """
    if fit.rows <= most:
        return (fit.rows + 1,)
    parts = max(2, ceil((fit.rows - 1) / (most - 1)))
    heights = even(fit.rows - 1 + parts, parts)
    return heights[0], *(height - 1 for height in heights[1:-1]), heights[-1]


def _least_rows(fit: Fit) -> int:
    """Rows that the lowest possible section is high: three half sides where there is a section between two
    others."""
    if fit.lattice == "square":
        return 1
    return 3 if fit.rows > 3 else min(fit.rows, 2)


def _too_small(fit: Fit, beds: tuple[BedLimit, ...]) -> Refused:
    width_mm = COLUMN[fit.lattice] * fit.cell_side_mm
    height_mm = _least_rows(fit) * ROW[fit.lattice] * fit.cell_side_mm
    short_mm, long_mm = sorted((width_mm, height_mm))
    least = BedLimit(short_mm, long_mm, 0)

    def missing_mm(bed: BedLimit) -> float:
        short, long = sorted((bed.width_mm, bed.depth_mm))
        return max(least.width_mm - short, least.depth_mm - long)

    bed = min(beds, key=missing_mm)
    return Refused.because(
        "rate_book.printers",
        f"the smallest section, {least}, is {missing_mm(bed):.1f} mm larger than the usable bed of {bed}",
        f"a printer with a usable bed of at least {least}, or smaller cells",
    )
