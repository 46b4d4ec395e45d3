"""The cells of a panel by what they look like, so that each shape is looked at once."""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from studio.lattice.composition import SHAPES, Composition
from studio.lattice.shapes import Shape

__all__ = ["cells_by_kind"]

MANY = 64
"""More than there are facings."""


def cells_by_kind(
    composition: Composition, cells: NDArray[np.intp] | None = None
) -> Iterator[tuple[Shape, int, NDArray[np.intp]]]:
    """Shape, facing and the indices of the cells that have both, of all `cells` or of some."""
    chosen = np.arange(len(composition.x)) if cells is None else cells
    kind = composition.shape[chosen].astype(np.intp) * MANY + composition.facing[chosen]
    for found in np.flatnonzero(np.bincount(kind)).tolist():
        shape, facing = divmod(found, MANY)
        yield SHAPES[shape], facing, chosen[kind == found]
