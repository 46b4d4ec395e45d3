"""The symmetry of what is drawn: of cells, patterns and colours together."""

from typing import Literal

import numpy as np
from shapely.affinity import scale

from studio.lattice.arrange import IMAGES
from studio.lattice.composition import Composition
from studio.lattice.cut import alike
from studio.lattice.fit import Symmetry

__all__ = ["DrawnSymmetry", "drawn_symmetry"]

DrawnSymmetry = Literal[Symmetry, "none"]


def drawn_symmetry(composition: Composition) -> DrawnSymmetry:
    """At most that of the fit's cells: every piece is the image of the one at its image, in the same
    filament."""
    ways = [way for way in IMAGES[composition.fit.symmetry][1:] if _same(composition, *way)]
    if len(ways) == 3:
        return "both"
    names: dict[tuple[int, int], Symmetry] = {
        (-1, 1): "left-right", (1, -1): "top-bottom", (-1, -1): "half-turn",
    }  # fmt: skip
    return names[ways[0]] if ways else "none"


def _same(composition: Composition, across: int, up: int) -> bool:
    fit, column, row = composition.fit, composition.column, composition.row
    cell = np.full((fit.across.addresses, fit.up.addresses), -1)
    cell[column, row] = np.arange(len(column))
    image = cell[::across, ::up][column, row]
    if (composition.filament != composition.filament[image]).any():
        return False
    pairs = set(zip(composition.piece.tolist(), composition.piece[image].tolist(), strict=True))
    return all(_images(composition, *pair, across, up) for pair in pairs)


def _images(composition: Composition, first: int, second: int, across: int, up: int) -> bool:
    if min(first, second) < 0:
        return first == second
    ours, theirs = (composition.pieces[each].outline for each in (first, second))
    return alike(scale(ours, across, up, origin=(0, 0)), theirs)
