"""Cells joined to areas: tints for small pictures, outlines of sections."""

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon

from studio.drawing.rings import TENTHS
from studio.lattice.cell import cell_corners
from studio.lattice.composition import SHAPES, Composition

__all__ = ["cell_polygons", "joined"]

TIE = 1e-6
"""Breaks ties in rounding the same way for every cell, so that neighbours keep sharing their corners."""


def cell_polygons(composition: Composition) -> NDArray[np.object_]:
    """Every cell between centre lines, (n,) polygons, mm to a tenth, y up."""
    fit = composition.fit
    found = np.empty(len(composition.x), dtype=object)
    kinds = np.unique(np.stack((composition.shape, composition.facing), axis=1), axis=0)
    for shape, facing in kinds.tolist():
        of_kind = np.flatnonzero((composition.shape == shape) & (composition.facing == facing))
        corners = np.array(cell_corners(fit.lattice, SHAPES[shape], facing, fit.cell_side_mm))
        places = np.stack((composition.x[of_kind], composition.y[of_kind]), axis=1)
        points = np.rint(TENTHS * (places[:, None] + corners) + TIE) / TENTHS
        found[of_kind] = shapely.polygons(points)
    return found


def joined(polygons: NDArray[np.object_]) -> list[Polygon]:
    """The areas that cells make up together: they share sides and do not overlap."""
    return list(shapely.get_parts(shapely.coverage_union_all(polygons)).tolist())
