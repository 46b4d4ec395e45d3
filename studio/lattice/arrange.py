"""Arrangements: the rule that gives every cell its infill."""

from dataclasses import dataclass
from math import sqrt

import numpy as np
from numpy.typing import NDArray

from studio.lattice.cells import Cells
from studio.lattice.design import Bands, BorderAndField, Design, Infill, TouchUp
from studio.lattice.fit import Fit
from studio.lattice.infills import infills_of
from studio.problem import Refused

__all__ = ["Arranged", "arrange", "border_rows"]

FIELD = "design.arrangement"
COLUMNS, ROWS, CELLS = ("column", "columns"), ("row of cells", "rows of cells"), ("cell", "cells")


@dataclass(frozen=True, eq=False)
class Arranged:
    """`infill` (n,) int: index into `infills` for each cell in order (column, row), read-only. `fields` names
    where each of the infills stands in the design. `outside` are the touch-ups of no cell."""

    infills: tuple[Infill, ...]
    fields: tuple[str, ...]
    infill: NDArray[np.int16]
    outside: tuple[TouchUp, ...] = ()


def arrange(design: Design, fit: Fit, cells: Cells) -> Arranged:
    """Every cell's infill. Raises Refused for bands that do not all find room and a border that leaves no
    field."""
    arrangement = design.arrangement
    grid = np.zeros((fit.across.addresses, fit.up.addresses), dtype=np.int16)  # one infill all over
    match arrangement:
        case Bands():
            _lay_bands(arrangement, grid)
        case BorderAndField():
            _lay_field(arrangement.border_cells, fit, grid)
    named, infill = infills_of(design), grid[cells.column, cells.row]
    infill.flags.writeable = False
    return Arranged(tuple(named.values()), tuple(f"design.{field}" for field in named), infill)


def border_rows(fit: Fit, border_cells: int) -> tuple[int, int]:
    """Columns and rows of cells that make a border of `border_cells` cells, as thick above and below as at
    the sides.

    Three-way: d columns are d*s*sqrt(3)/2 thick. The lowest row holds half cells, s/4 thick on average, and
    each row of whole cells adds s/2, so that r rows are (2r - 1)*s/4 thick: r is d*sqrt(3) + 1/2, rounded (1,
    2, 3, 4 columns: 2, 4, 6, 7 rows); turned, the same with columns and rows exchanged. Diamond: one column
    and one row of addresses more than half boxes, so that the border is whole boxes thick, more across than
    up. The same at opposite edges keeps every symmetry of the fit.
    """
    along = round(border_cells * sqrt(3) + 0.5)
    match fit.lattice:
        case "three-way":
            return border_cells, along
        case "three-way turned":
            return along, border_cells
        case "diamond":
            return 2 * border_cells, 2 * border_cells
    return border_cells, border_cells


def _lay_bands(arrangement: Bands, grid: NDArray[np.int16]) -> None:
    upright = arrangement.direction == "upright"
    available, nouns = grid.shape[0 if upright else 1], COLUMNS if upright else ROWS
    cells = [band.cells for band in arrangement.bands]
    if sum(cells) > available:
        reason = f"the bands take {_counted(sum(cells), nouns)}, and the panel has {available}"
        remedy = f"bands of {_counted(available, nouns)} together at most"
        raise Refused.because(f"{FIELD}.bands", reason, remedy)
    band = np.resize(np.repeat(np.arange(len(cells)), cells), available)
    grid[:] = band[:, None] if upright else band


def _lay_field(border_cells: int, fit: Fit, grid: NDArray[np.int16]) -> None:
    columns, rows = grid.shape
    deepest = max((d for d in range(1, columns) if _leaves_field(fit, d)), default=0)
    if border_cells > deepest:
        room = f"{_counted(columns, COLUMNS)} and {_counted(rows, ROWS)}"
        reason = f"a border of {_counted(border_cells, CELLS)} leaves no field in {room}"
        smaller = f"a border of {_counted(deepest, CELLS)} at most"
        remedy = smaller if deepest else "a larger panel, or one infill all over"
        raise Refused.because(f"{FIELD}.border_cells", reason, remedy)
    across, up = border_rows(fit, border_cells)
    grid[across : columns - across, up : rows - up] = 1


def _leaves_field(fit: Fit, border_cells: int) -> bool:
    across, up = border_rows(fit, border_cells)
    return 2 * across < fit.across.addresses and 2 * up < fit.up.addresses


def _counted(count: int, nouns: tuple[str, str]) -> str:
    return f"{count} {nouns[count != 1]}"
