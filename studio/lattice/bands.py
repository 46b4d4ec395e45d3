"""Bands of columns or rows."""

import numpy as np
from numpy.typing import NDArray

from studio.lattice.cells import Cells
from studio.lattice.counting import COLUMNS, ROWS, counted
from studio.lattice.design import Band, Bands
from studio.lattice.fit import Fit
from studio.problem import Refused

__all__ = ["band_at", "in_bands"]


def in_bands(arrangement: Bands, fit: Fit, cells: Cells) -> NDArray[np.int16]:
    """Each cell's band, (n,). Raises Refused for bands that do not all find room."""
    upright = arrangement.direction == "upright"
    available, nouns = (fit.across.addresses, COLUMNS) if upright else (fit.up.addresses, ROWS)
    taken = sum(band.cells for band in arrangement.bands)
    if taken > available:
        reason = f"the bands take {counted(taken, nouns)}, and the panel has {available}"
        remedy = f"bands of {counted(available, nouns)} together at most"
        raise Refused.because("design.arrangement.bands", reason, remedy)
    return band_at(arrangement.bands, cells.column if upright else cells.row)


def band_at(bands: tuple[Band, ...], place: NDArray[np.int32]) -> NDArray[np.int16]:
    """Index of the band at each place, counted from where the first one begins; they repeat in order."""
    once = np.repeat(np.arange(len(bands), dtype=np.int16), [band.cells for band in bands])
    return once[place % len(once)]
