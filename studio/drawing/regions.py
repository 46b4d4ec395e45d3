"""Cells joined to areas: tints for small pictures, outlines of sections."""

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon

from studio.drawing.kinds import cells_by_kind
from studio.lattice.cell import cell_corners
from studio.lattice.composition import Composition

__all__ = ["cell_polygons", "joined"]

TENTHS = 10
"""Corners lie on tenths of a millimetre, which is plenty for tints and outlines."""
TIE = 1e-6
"""Breaks ties in rounding the same way for every cell, so that neighbours keep sharing their corners."""


def cell_polygons(composition: Composition) -> NDArray[np.object_]:
    """Every cell between centre lines, (n,) polygons, mm to a tenth, y up."""
    fit = composition.fit
    found = np.empty(len(composition.x), dtype=object)
    places = np.stack((composition.x, composition.y), axis=1)
    for shape, facing, cells in cells_by_kind(composition):
        corners = np.array(cell_corners(fit.lattice, shape, facing, fit.cell_side_mm, fit.angle_deg))
        found[cells] = shapely.polygons(np.rint(TENTHS * (places[cells, None] + corners) + TIE) / TENTHS)
    return found


def joined(polygons: NDArray[np.object_]) -> list[Polygon]:
    """The areas that cells make up together: they share sides and do not overlap."""
    return list(shapely.get_parts(shapely.coverage_union_all(polygons)).tolist())
