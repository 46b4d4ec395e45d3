"""Arrangements laid over fits, for their tests."""

import numpy as np

from studio.lattice.arrange import arrange
from studio.lattice.cell import cell_polygon
from studio.lattice.cells import cell_at, cells_of
from studio.lattice.shapes import SHAPES
from tests.lattice.cast import design

SYMMETRIES = {"both": ("left-right", "top-bottom", "half-turn")}


def laid(arrangement, fit, **changes):
    return arrange(design(fit.lattice, arrangement=arrangement, **changes), fit, cells_of(fit))


def grid(arrangement, fit, **changes):
    """Indices of infills as rows of text-like lists, top row first; -1 where there is no cell."""
    cells = cells_of(fit)
    found = np.full((fit.across.addresses, fit.up.addresses), -1)
    found[cells.column, cells.row] = laid(arrangement, fit, **changes).infill
    return found.T[::-1].tolist()


def by_address(fit, values):
    """Values of cells by their address."""
    cells = cells_of(fit)
    return dict(zip(zip(cells.column.tolist(), cells.row.tolist(), strict=True), values, strict=True))


def centroids(fit):
    """Of every cell, cut ones as they are."""
    own, cells = {}, cells_of(fit)
    for x, y, shape, facing in zip(
        cells.x, cells.y, cells.shape.tolist(), cells.facing.tolist(), strict=True
    ):
        if (shape, facing) not in own:
            polygon = cell_polygon(fit.lattice, SHAPES[shape], facing, fit.cell_side_mm, fit.angle_deg)
            own[shape, facing] = polygon.centroid.coords[0]
        aside, above = own[shape, facing]
        yield x + aside, y + above


def images(fit, way):
    """The address that each cell has its image at, by where its centroid is carried."""
    width = fit.lattice_width_mm if way in ("left-right", "half-turn") else 0
    height = fit.lattice_height_mm if way in ("top-bottom", "half-turn") else 0
    return [cell_at(fit, abs(width - x), abs(height - y)) for x, y in centroids(fit)]


def is_symmetric(fit, infill):
    """Whether infills are the same at every image that the fit's symmetry gives."""
    values = list(infill)
    there = by_address(fit, values)
    ways = SYMMETRIES.get(fit.symmetry, (fit.symmetry,))
    return all([there[image] for image in images(fit, way)] == values for way in ways)
