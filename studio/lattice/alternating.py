"""Cells that face one way, and their neighbours."""

import numpy as np
from numpy.typing import NDArray

from studio.lattice.cells import Cells
from studio.lattice.fit import Fit

__all__ = ["facing_ways"]


def facing_ways(fit: Fit, cells: Cells) -> NDArray[np.int16]:
    """0 or 1 for each cell, (n,): cells that share a side differ, and a half or quarter cell counts as the
    whole one that it is cut from. 0 are the three-way cells with their straight side on the left (turned:
    below), and every other square or diamond cell."""
    if fit.kind.every_other:  # parts of cells have facings of their own
        return ((cells.column + 1) % 2).astype(np.int16)
    return (cells.facing % 2).astype(np.int16)
