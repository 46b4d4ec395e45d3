"""Arrangements: the rule that gives every cell its infill."""

from dataclasses import dataclass
from typing import assert_never

import numpy as np
from numpy.typing import NDArray

from studio.lattice.alternating import facing_ways
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
from studio.lattice.fit import Fit
from studio.lattice.infills import infills_of
from studio.lattice.rings import in_rings
from studio.lattice.rosettes import in_rosettes
from studio.lattice.touch_ups import touched_up

__all__ = ["Arranged", "arrange"]


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
