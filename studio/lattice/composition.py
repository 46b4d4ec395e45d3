"""A composed panel: every cell with its place, shape, pattern and colour, as arrays."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from shapely import Polygon

from studio.lattice.design import Design
from studio.lattice.fit import Fit

__all__ = ["SHAPES", "Composition", "Piece"]

SHAPES = ("whole", "half, left hand", "half, right hand", "quarter")
"""Size classes: shape and hand. A left-hand half is not a right-hand half turned over: its front would lie behind."""


@dataclass(frozen=True, eq=False)
class Piece:
    """One distinct infill piece in one facing: a pattern cut for a shape of cell.

    `outline` lies in the cell's own coordinates (mm, y up, origin at the cell's reference point `Composition.x/y`),
    already turned as it faces in the panel. `made_as` names what is printed: facings that are turns of each other share
    it. `rim` tells that a rim was needed to hold the strokes together; `holding` is how it is held in its cell.
    """

    pattern: str
    shape: str
    facing: int
    made_as: str
    outline: Polygon
    rim: bool
    holding: str


@dataclass(frozen=True, eq=False)
class Composition:
    """Arrays run over the n cells of the panel, in stable order (column, row). Origin: the lower left crossing of the outer
    strips' centre lines; x to the right, y up, mm. All arrays are read-only.

    column, row (n,) int: stable address. x, y (n,) float: the cell's reference point. shape (n,) int: index into SHAPES.
    facing (n,) int: index of the orientation. piece (n,) int: index into `pieces`, -1 for an open cell.
    filament (n,) int: index into `filaments`, -1 for an open cell. area_mm2 of a cell between centre lines by shape is
    `cell_area_mm2[shape]`. `openings[(shape index, facing)]` is the clear opening (strip faces, no clearance) in the
    cell's own coordinates. `digest` identifies the inputs.
    """

    design: Design
    fit: Fit
    column: NDArray[np.int32]
    row: NDArray[np.int32]
    x: NDArray[np.float64]
    y: NDArray[np.float64]
    shape: NDArray[np.int8]
    facing: NDArray[np.int8]
    piece: NDArray[np.int16]
    filament: NDArray[np.int16]
    pieces: tuple[Piece, ...]
    filaments: tuple[str, ...]
    cell_area_mm2: tuple[float, ...]
    openings: dict[tuple[int, int], Polygon]
    digest: str
