"""Where every cell of a fit lies, and which cell is at a point: lattice arithmetic.

Cell (column, row) lies at ((column + 1/2) * step, ...) where the lattice's lines run straight and at
(column * step, ...) where they zigzag (axis.py); the panel's lower left corner is a crossing of the lattice.

Where lines zigzag both ways, there is a cell only where column + row is even.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from studio.lattice.fit import Fit

__all__ = ["Cells", "cell_at", "cells_of", "crossing", "crossing_across", "has_cell", "off_crossing"]


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


def cells_of(fit: Fit) -> Cells:
    """Every cell: n(k-1) whole and 2n half ones in a three-way lattice, m*n whole ones in a square one, and
    pq + (p-1)(q-1) whole, 2(p-1) + 2(q-1) half and 4 quarter ones in a diamond one."""
    across, up = fit.across, fit.up
    column = np.repeat(np.arange(across.addresses, dtype=np.int32), up.addresses)
    row = np.tile(np.arange(up.addresses, dtype=np.int32), across.addresses)
    if fit.kind.every_other:
        there = (column + row) % 2 == 0
        column, row = column[there], row[there]
    shape, facing = fit.kind.cut(column, row, across, up)
    x = across.step_mm * (column.astype(np.float64) + (0.0 if across.zigzag else 0.5))
    y = up.step_mm * (row.astype(np.float64) + (0.0 if up.zigzag else 0.5))
    cells = Cells(column, row, x, y, shape, facing)
    for array in vars(cells).values():
        array.flags.writeable = False
    return cells


def has_cell(fit: Fit, column: int, row: int) -> bool:
    """Whether there is a cell of this address."""
    inside = 0 <= column < fit.across.addresses and 0 <= row < fit.up.addresses
    return inside and not (fit.kind.every_other and (column + row) % 2)


def cell_at(fit: Fit, x_mm: float, y_mm: float) -> tuple[int, int] | None:
    """Address of the cell at a point, None outside the lattice; on a strip's centre line, one of the cells
    beside it."""
    if not (0 <= x_mm <= fit.lattice_width_mm and 0 <= y_mm <= fit.lattice_height_mm):
        return None
    return fit.kind.at(x_mm / fit.across.step_mm, y_mm / fit.up.step_mm, fit.across, fit.up)


def off_crossing(fit: Fit, steps: int) -> int:
    """How far a point at so many steps, across and up together, lies from the nearest crossing: strips that
    zigzag meet at every other step, and where they do so both ways, a cell's middle lies in the corner."""
    return 0 if fit.kind.straight else (steps + fit.kind.every_other) % 2


def crossing(fit: Fit, column: int, row: int) -> int:
    """Height, in steps, at which the line between the cells of rows `row - 1` and `row` crosses the upright
    at step `column`. A line that zigzags goes up and down by one step."""
    up = fit.up
    if not up.zigzag:
        return row
    return min(max(row - off_crossing(fit, column + row), 0), up.steps)


def crossing_across(fit: Fit, column: int, row: int) -> int:
    """Distance from the left, in steps, at which the line between the cells of columns `column - 1` and
    `column` crosses the level at step `row`."""
    across = fit.across
    if not across.zigzag:
        return column
    return min(max(column - off_crossing(fit, column + row), 0), across.steps)
