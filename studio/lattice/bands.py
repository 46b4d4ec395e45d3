"""Bands of columns or rows."""

import numpy as np
from numpy.typing import NDArray

from studio.lattice.cells import Cells
from studio.lattice.design import Band, Bands
from studio.lattice.fit import Fit
from studio.problem import Refused
from studio.voice import count, said

__all__ = ["band_at", "in_bands"]


def in_bands(arrangement: Bands, fit: Fit, cells: Cells) -> NDArray[np.int16]:
    """Each cell's band, (n,). Raises Refused for bands that do not all find room."""
    upright = arrangement.direction == "upright"
    available = fit.across.addresses if upright else fit.up.addresses
    noun = "column of cells" if upright else "row of cells"
    taken = sum(band.cells for band in arrangement.bands)
    if taken > available:
        reason = said("the bands take {}, and the panel has {}", count(taken, noun), available)
        remedy = said("bands of {} together at most", count(available, noun))
        raise Refused.because("design.arrangement.bands", reason, remedy)
    return band_at(arrangement.bands, cells.column if upright else cells.row)


def band_at(bands: tuple[Band, ...], place: NDArray[np.int32]) -> NDArray[np.int16]:
    """Index of the band at each place, counted from where the first one begins; they repeat in order."""
    once = np.repeat(np.arange(len(bands), dtype=np.int16), [band.cells for band in bands])
    return once[place % len(once)]
