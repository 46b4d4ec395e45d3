"""Where every cell of a fit lies, which are its neighbours, and which cell is at a point: lattice arithmetic.

Cell (column, row) lies at ((column + 1/2) * step, ...) where the lattice's lines run straight and at
(column * step, ...) where they zigzag (axis.py); the panel's lower left corner is a crossing of the lattice.

Three-way, vertical family: column i in [0, n), row j in [0, k]; rows 0 and k are half cells, cut by the
panel's bottom and top; the left side is upright where i + j is odd. Turned: the same with columns and rows
exchanged, so that columns 0 and k are the half cells. Square: all cells whole. Diamond, p x q boxes: columns
0 to 2p, rows 0 to 2q, and a cell only where column + row is even; cells at the panel's edges are halves,
those in its corners quarters.
"""

from dataclasses import dataclass
from math import floor

import numpy as np
from numpy.typing import NDArray

from studio.lattice.fit import Fit
from studio.lattice.shapes import HALF_HANDS, QUARTER_HANDS, SHAPES

__all__ = ["Cells", "cell_at", "cells_of", "crossing", "crossing_across", "has_cell", "neighbours"]

Integers = NDArray[np.int64]
_HALF_SHAPE = np.array([SHAPES.index(HALF_HANDS[facing]) for facing in range(4)], dtype=np.int8)
_QUARTER_SHAPE = np.array([SHAPES.index(QUARTER_HANDS[facing]) for facing in range(4)], dtype=np.int8)
_LEVEL, _UPRIGHT = SHAPES.index("half, cut level"), SHAPES.index("half, cut upright")


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
    if fit.lattice == "diamond":
        there = (column + row) % 2 == 0
        column, row = column[there], row[there]
    shape, facing = _kinds(fit, column, row)
    x = across.step_mm * (column.astype(np.float64) + (0.0 if across.zigzag else 0.5))
    y = up.step_mm * (row.astype(np.float64) + (0.0 if up.zigzag else 0.5))
    cells = Cells(column, row, x, y, shape.astype(np.int8), facing.astype(np.int8))
    for array in vars(cells).values():
        array.flags.writeable = False
    return cells


def _kinds(
    fit: Fit, column: NDArray[np.int32], row: NDArray[np.int32]
) -> tuple[NDArray[np.int8], NDArray[np.int8]]:
    """Shape and facing of every cell."""
    first_column, last_column = column == 0, column == fit.across.steps
    first_row, last_row = row == 0, row == fit.up.steps
    match fit.lattice:
        case "square":
            return np.zeros(len(row), np.int8), ((column + row) % 2).astype(np.int8)
        case "diamond":
            level, upright = first_row | last_row, first_column | last_column
            facing = np.where(level, last_row, np.where(upright, last_column, 1 - column % 2))
            corner = level & upright
            facing = np.where(corner, last_column + 2 * last_row, facing).astype(np.int8)
            shape = np.where(level, _LEVEL, np.where(upright, _UPRIGHT, 0))
            return np.where(corner, _QUARTER_SHAPE[facing], shape).astype(np.int8), facing
        case "three-way turned":
            cut, second = first_column | last_column, first_column
        case _:
            cut, second = first_row | last_row, last_row
    facing = ((column + row + 1) % 2 + 2 * second).astype(np.int8)
    return np.where(cut, _HALF_SHAPE[facing], np.int8(0)), facing


def has_cell(fit: Fit, column: int, row: int) -> bool:
    """Whether there is a cell of this address."""
    inside = 0 <= column < fit.across.addresses and 0 <= row < fit.up.addresses
    return inside and (fit.lattice != "diamond" or (column + row) % 2 == 0)


def neighbours(fit: Fit, column: int, row: int) -> tuple[tuple[int, int], ...]:
    """Addresses of the cells that share a side with this one, in order. Raises ValueError for an address
    outside."""
    if not has_cell(fit, column, row):
        raise ValueError(f"there is no cell ({column}, {row})")
    odd = (column + row) % 2
    match fit.lattice:
        case "square":
            steps = [(-1, 0), (1, 0), (0, -1), (0, 1)]
        case "diamond":
            steps = [(-1, -1), (-1, 1), (1, -1), (1, 1)]
        case "three-way turned":
            steps = [(-1, 0), (1, 0), (0, -1 if odd else 1)]
        case _:
            steps = [(0, -1), (0, 1), (-1 if odd else 1, 0)]
    around = sorted((column + i, row + j) for i, j in steps)
    return tuple(address for address in around if has_cell(fit, *address))


def cell_at(fit: Fit, x_mm: float, y_mm: float) -> tuple[int, int] | None:
    """Address of the cell at a point, None outside the lattice; on a strip's centre line, one of the cells
    beside it."""
    if not (0 <= x_mm <= fit.lattice_width_mm and 0 <= y_mm <= fit.lattice_height_mm):
        return None
    u, v = x_mm / fit.across.step_mm, y_mm / fit.up.step_mm
    column, row = min(floor(u), fit.across.steps - 1), min(floor(v), fit.up.steps - 1)
    match fit.lattice:
        case "square":
            return column, row
        case "diamond":
            u, v = _within(u, fit.across.steps), _within(v, fit.up.steps)
            along, against = 2 * floor((u + v + 1) / 2), 2 * floor((u - v + 1) / 2)
            return (along + against) // 2, (along - against) // 2
        case "three-way turned":
            rises = (column + row) % 2 == 0
            share = v - row if rises else 1 - (v - row)
            return column + (u - column > share), row
    rises = (column + row) % 2 == 0  # the side between cells `row` and `row + 1` goes up from left to right
    share = u - column if rises else 1 - (u - column)
    return column, row + (v - row > share)


def _within(step: float, steps: int) -> float:
    """A hair inside the edge, where cells beyond it would be as near."""
    return min(max(step, 1e-9), steps - 1e-9)


def crossing(fit: Fit, column: int, row: int) -> int:
    """Height, in steps, at which the line between the cells of rows `row - 1` and `row` crosses the upright
    at step `column`. A line that zigzags goes up and down by one step."""
    up = fit.up
    if not up.zigzag:
        return row
    return min(max(row - (column + row + (fit.lattice == "diamond")) % 2, 0), up.steps)


def crossing_across(fit: Fit, column: int, row: int) -> int:
    """Distance from the left, in steps, at which the line between the cells of columns `column - 1` and
    `column` crosses the level at step `row`."""
    across = fit.across
    if not across.zigzag:
        return column
    return min(max(column - (column + row + (fit.lattice == "diamond")) % 2, 0), across.steps)
