"""Where every cell of a fit lies, which are its neighbours, and which cell is at a point: lattice arithmetic.

Three-way: column i in [0, n), row j in [0, k]; rows 0 and k are half cells, cut by the panel's bottom and
top. Cell (i, j) lies at x = (i + 1/2)*h, y = j*s/2, and faces left side upright where i + j is odd, so that
the panel's lower left corner is a crossing of the lattice. Square: column i in [0, m), row j in [0, n), at
((i + 1/2)*s, (j + 1/2)*s).
"""

from dataclasses import dataclass
from math import floor

import numpy as np
from numpy.typing import NDArray

from studio.lattice.cell import HALF_HANDS
from studio.lattice.fit import COLUMN, ROW, Fit

__all__ = ["SHAPES", "Cells", "address_rows", "cell_at", "cells_of", "crossing", "neighbours", "span"]

SHAPES = ("whole", "half, left hand", "half, right hand", "quarter")
"""Size classes: shape and hand. A left-hand half is not a right-hand half turned over: its front would lie
behind."""
_HALF_SHAPE = np.array([SHAPES.index(HALF_HANDS[facing]) for facing in range(4)], dtype=np.int8)


@dataclass(frozen=True, eq=False)
class Cells:
    """Arrays (n,) over the cells in order (column, row), read-only: address, reference point in mm from the
    panel's lower left crossing, index into SHAPES, facing (see cell.py)."""

    column: NDArray[np.int32]
    row: NDArray[np.int32]
    x: NDArray[np.float64]
    y: NDArray[np.float64]
    shape: NDArray[np.int8]
    facing: NDArray[np.int8]


def address_rows(fit: Fit) -> int:
    """How many rows of cells there are: one more than the half sides in a three-way lattice."""
    return fit.rows + (fit.lattice == "three-way")


def cells_of(fit: Fit) -> Cells:
    """Every cell: n(k-1) whole and 2n half ones in a three-way lattice, m*n whole ones in a square one."""
    rows = address_rows(fit)
    column = np.repeat(np.arange(fit.columns, dtype=np.int32), rows)
    row = np.tile(np.arange(rows, dtype=np.int32), fit.columns)
    across, up = COLUMN[fit.lattice] * fit.cell_side_mm, ROW[fit.lattice] * fit.cell_side_mm
    x = across * (column.astype(np.float64) + 0.5)
    if fit.lattice == "square":
        shape, facing = np.zeros(len(row), np.int8), ((column + row) % 2).astype(np.int8)
        y = up * (row.astype(np.float64) + 0.5)
    else:
        facing = ((column + row + 1) % 2 + 2 * (row == fit.rows)).astype(np.int8)
        shape = np.where((row == 0) | (row == fit.rows), _HALF_SHAPE[facing], np.int8(0))
        y = up * row.astype(np.float64)
    cells = Cells(column, row, x, y, shape, facing)
    for array in vars(cells).values():
        array.flags.writeable = False
    return cells


def neighbours(fit: Fit, column: int, row: int) -> tuple[tuple[int, int], ...]:
    """Addresses of the cells that share a side with this one, in order. Raises ValueError for an address
    outside."""
    rows = address_rows(fit)
    if not (0 <= column < fit.columns and 0 <= row < rows):
        raise ValueError(f"there is no cell ({column}, {row})")
    around = [(column, row - 1), (column, row + 1)]
    if fit.lattice == "square" or (column + row) % 2:
        around.append((column - 1, row))
    if fit.lattice == "square" or (column + row) % 2 == 0:
        around.append((column + 1, row))
    return tuple(sorted((i, j) for i, j in around if 0 <= i < fit.columns and 0 <= j < rows))


def cell_at(fit: Fit, x_mm: float, y_mm: float) -> tuple[int, int] | None:
    """Address of the cell at a point, None outside the lattice; on a strip's centre line, one of the cells
    beside it."""
    if not (0 <= x_mm <= fit.lattice_width_mm and 0 <= y_mm <= fit.lattice_height_mm):
        return None
    u, v = x_mm / (COLUMN[fit.lattice] * fit.cell_side_mm), y_mm / (ROW[fit.lattice] * fit.cell_side_mm)
    column, row = min(floor(u), fit.columns - 1), min(floor(v), fit.rows - 1)
    if fit.lattice == "square":
        return column, row
    rises = (column + row) % 2 == 0  # the side between cells `row` and `row + 1` goes up from left to right
    share = u - column if rises else 1 - (u - column)
    return column, row + (v - row > share)


def crossing(fit: Fit, column: int, row: int) -> int:
    """Height, in rows, at which the line between rows of cells `row - 1` and `row` crosses the line left of
    `column`. In a three-way lattice that line zigzags up and down by one half side."""
    if fit.lattice == "square":
        return row
    return min(max(row - (column + row) % 2, 0), fit.rows)


def span(fit: Fit, first: int, end: int) -> tuple[int, int]:
    """Heights, in rows, of the lowest and the highest point of the rows of cells [first, end)."""
    if fit.lattice == "square":
        return first, end
    return max(first - 1, 0), min(end, fit.rows)
