"""Arrangements: the rule that gives every cell its infill."""

from dataclasses import dataclass
from typing import assert_never

import numpy as np
from numpy.typing import NDArray

from studio.lattice.bands import in_bands
from studio.lattice.border import in_border
from studio.lattice.cells import Cells
from studio.lattice.design import (
    AllOver,
    Alternating,
    Arrangement,
    Bands,
    BorderAndField,
    Design,
    Drift,
    Infill,
    Rings,
    Rosettes,
    TouchUp,
)
from studio.lattice.drift import drifted
from studio.lattice.fit import Fit, Symmetry
from studio.lattice.infills import infills_of
from studio.lattice.rings import in_rings
from studio.lattice.rosettes import in_rosettes

__all__ = ["Arranged", "arrange"]

IMAGES: dict[Symmetry, tuple[tuple[int, int], ...]] = {
    "both": ((1, 1), (-1, 1), (1, -1), (-1, -1)),
    "left-right": ((1, 1), (-1, 1)),
    "top-bottom": ((1, 1), (1, -1)),
    "half-turn": ((1, 1), (-1, -1)),
}
"""Where a symmetry leaves and carries a cell: columns and rows as they are (1) or from the other edge."""


@dataclass(frozen=True, eq=False)
class Arranged:
    """`infill` (n,) int: index into `infills` for each cell in order (column, row), read-only. `fields` names
    where each of the infills stands in the design. `outside` are the touch-ups of no cell."""

    infills: tuple[Infill, ...]
    fields: tuple[str, ...]
    infill: NDArray[np.int16]
    outside: tuple[TouchUp, ...] = ()


def arrange(design: Design, fit: Fit, cells: Cells) -> Arranged:
    """Every cell's infill: the arrangement's, and the touch-ups on top. Raises Refused for an arrangement
    that does not find room."""
    named = infills_of(design)
    infill = _laid(design.arrangement, fit, cells)
    outside: tuple[TouchUp, ...] = ()
    if design.touch_ups:
        infill, outside = touched_up(infill, design, fit, cells, len(named) - len(design.touch_ups))
    infill.flags.writeable = False
    fields = tuple(f"design.{field}" for field in named)
    return Arranged(tuple(named.values()), fields, infill, outside)


def _laid(arrangement: Arrangement, fit: Fit, cells: Cells) -> NDArray[np.int16]:
    """Indices into the arrangement's infills, in the order of `infills_of`."""
    match arrangement:
        case AllOver():
            return np.zeros(len(cells.column), dtype=np.int16)
        case Bands():
            return in_bands(arrangement, fit, cells)
        case BorderAndField():
            return in_border(arrangement, fit, cells)
        case Rings():
            return in_rings(arrangement, fit, cells)
        case Drift():
            return drifted(arrangement, fit, cells)
        case Rosettes():
            return in_rosettes(arrangement, fit, cells)
        case Alternating():
            return facing_ways(fit, cells)
        case _:
            assert_never(arrangement)


def facing_ways(fit: Fit, cells: Cells) -> NDArray[np.int16]:
    """0 or 1 for each cell, (n,): cells that share a side differ, and a half or quarter cell counts as the
    whole one that it is cut from. 0 are the three-way cells with their straight side on the left (turned:
    below), and every other square or diamond cell."""
    if fit.kind.every_other:  # parts of cells have facings of their own
        return ((cells.column + 1) % 2).astype(np.int16)
    return (cells.facing % 2).astype(np.int16)


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
