"""Cells given infills of their own, on top of the arrangement."""

import numpy as np
from numpy.typing import NDArray

from studio.lattice.cells import Cells
from studio.lattice.design import Design, TouchUp
from studio.lattice.fit import Fit, Symmetry

__all__ = ["touched_up"]

IMAGES: dict[Symmetry, tuple[tuple[int, int], ...]] = {
    "both": ((1, 1), (-1, 1), (1, -1), (-1, -1)),
    "left-right": ((1, 1), (-1, 1)),
    "top-bottom": ((1, 1), (1, -1)),
    "half-turn": ((1, 1), (-1, -1)),
}
"""Where a symmetry leaves and carries a cell: columns and rows as they are (1) or from the other edge."""


def touched_up(
    infill: NDArray[np.int16], design: Design, fit: Fit, cells: Cells, first: int
) -> tuple[NDArray[np.int16], tuple[TouchUp, ...]]:
    """`infill` (n,) with the design's touch-ups on top, numbered from `first` on, and those of no cell.

    A later one covers an earlier one on the same cell, whether it names the cell or is mirrored there: so
    what is mirrored stays symmetric, and clicking on a cell always changes it."""
    grid = np.full((fit.across.addresses, fit.up.addresses), -1, dtype=np.int16)
    grid[cells.column, cells.row] = infill
    column = np.array([touch.column for touch in design.touch_ups])
    row = np.array([touch.row for touch in design.touch_ups])
    there = (column < grid.shape[0]) & (row < grid.shape[1])
    there[there] = grid[column[there], row[there]] >= 0
    number = np.arange(first, first + len(there), dtype=np.int16)
    for across, up in IMAGES[fit.symmetry] if design.mirror_touch_ups else ((1, 1),):
        np.maximum.at(
            grid[::across, ::up], (column[there], row[there]), number[there]
        )  # the later, the larger
    outside = tuple(design.touch_ups[i] for i in np.flatnonzero(~there))
    return grid[cells.column, cells.row], outside
