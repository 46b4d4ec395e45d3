"""Arrangements: the rule that gives every cell its infill."""

from dataclasses import dataclass
from math import sqrt

import numpy as np
from numpy.typing import NDArray

from studio.lattice.cells import address_rows
from studio.lattice.design import Arrangement, Bands, BorderAndField, Infill
from studio.lattice.fit import Fit
from studio.lattice.infills import infills_of
from studio.problem import Refused

__all__ = ["Arranged", "arrange", "border_rows"]

FIELD = "design.arrangement"
COLUMNS, ROWS, CELLS = ("column", "columns"), ("row of cells", "rows of cells"), ("cell", "cells")


@dataclass(frozen=True, eq=False)
class Arranged:
    """`infill` (n,) int: index into `infills` for each cell in order (column, row), read-only. `fields` names
    where each of the infills stands in the design."""

    infills: tuple[Infill, ...]
    fields: tuple[str, ...]
    infill: NDArray[np.int16]


def arrange(arrangement: Arrangement, fit: Fit) -> Arranged:
    """Every cell's infill. Raises Refused for bands that do not all find room and a border that leaves no
    field."""
    grid = np.zeros((fit.columns, address_rows(fit)), dtype=np.int16)  # one infill all over
    match arrangement:
        case Bands():
            _lay_bands(arrangement, grid)
        case BorderAndField():
            _lay_field(arrangement.border_cells, fit, grid)
    named, infill = infills_of(arrangement), grid.ravel()
    infill.flags.writeable = False
    return Arranged(tuple(named.values()), tuple(f"{FIELD}.{field}" for field in named), infill)


def border_rows(fit: Fit, border_cells: int) -> int:
    """Rows of cells that make a border at the bottom or top as thick as `border_cells` columns at the sides.

    Three-way: d columns are d*s*sqrt(3)/2 thick. The lowest row holds half cells, s/4 thick on average, and
    each row of whole cells adds s/2, so that r rows are (2r - 1)*s/4 thick: r is d*sqrt(3) + 1/2, rounded (1,
    2, 3, 4 columns: 2, 4, 6, 7 rows). The same rows at top and bottom and columns at left and right keep
    every symmetry of the fit.
    """
    return border_cells if fit.lattice == "square" else round(border_cells * sqrt(3) + 0.5)


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
    depths = (d for d in range(1, columns) if 2 * d < columns and 2 * border_rows(fit, d) < rows)
    deepest = max(depths, default=0)
    if border_cells > deepest:
        room = f"{_counted(columns, COLUMNS)} and {_counted(rows, ROWS)}"
        reason = f"a border of {_counted(border_cells, CELLS)} leaves no field in {room}"
        smaller = f"a border of {_counted(deepest, CELLS)} at most"
        remedy = smaller if deepest else "a larger panel, or one infill all over"
        raise Refused.because(f"{FIELD}.border_cells", reason, remedy)
    up = border_rows(fit, border_cells)
    grid[border_cells : columns - border_cells, up : rows - up] = 1


def _counted(count: int, nouns: tuple[str, str]) -> str:
    return f"{count} {nouns[count != 1]}"
