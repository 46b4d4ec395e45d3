"""Cells given infills of their own, on top of the arrangement."""

import numpy as np
from numpy.typing import NDArray

from studio.lattice.cells import Cells, has_cell
from studio.lattice.design import Design, TouchUp
from studio.lattice.fit import Fit, Symmetry

__all__ = ["outside", "touched_up"]

IMAGES: dict[Symmetry, tuple[tuple[int, int], ...]] = {
    "both": ((1, 1), (-1, 1), (1, -1), (-1, -1)),
    "left-right": ((1, 1), (-1, 1)),
    "top-bottom": ((1, 1), (1, -1)),
    "half-turn": ((1, 1), (-1, -1)),
}
"""Where a symmetry leaves and carries a cell: columns and rows as they are (1) or from the other edge."""


def touched_up(
    design: Design, fit: Fit, cells: Cells, infill: NDArray[np.int16], first: int
) -> NDArray[np.int16]:
    """`infill` (n,) with the design's touch-ups on top, numbered from `first` on. A later one covers an
    earlier one on the same cell, whether it was put there or mirrored there: what is mirrored stays so."""
    grid = np.full((fit.across.addresses, fit.up.addresses), -1, dtype=np.int16)
    images = IMAGES[fit.symmetry] if design.mirror_touch_ups else ((1, 1),)
    for number, touch in enumerate(design.touch_ups, first):
        if has_cell(fit, touch.column, touch.row):
            for across, up in images:
                grid[::across, ::up][touch.column, touch.row] = number
    there = grid[cells.column, cells.row]
    return np.where(there < 0, infill, there)


def outside(design: Design, fit: Fit) -> tuple[TouchUp, ...]:
    """The touch-ups that name a cell which the fit does not have."""
    return tuple(touch for touch in design.touch_ups if not has_cell(fit, touch.column, touch.row))
