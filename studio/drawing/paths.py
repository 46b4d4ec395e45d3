"""SVG path data of a composition, in bulk: each distinct piece once, the rest by moving it."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray
from shapely import Polygon

from studio.drawing.rings import TENTHS, polygon_rings
from studio.lattice.composition import Composition

__all__ = ["TILE", "TilePath", "cell_places", "outline_path", "relative_path", "rings_path", "tile_paths"]

TILE = 8
"""Columns and rows in a tile: a change to one cell repaints one tile."""


@dataclass(frozen=True, slots=True)
class TilePath:
    """All pieces of one filament (index into `Composition.filaments`) in one tile, as path data."""

    filament: int
    tile: tuple[int, int]
    data: str


def rings_path(rings: Iterable[NDArray[np.int64]]) -> str:
    """Closed rings as path data, each starting with an absolute M."""
    return "".join(f"M{ring[0, 0]} {ring[0, 1]}{_line(ring)}" for ring in rings)


def outline_path(polygons: Iterable[Polygon]) -> str:
    """Polygons (mm, y up) as path data."""
    return rings_path(polygon_rings(*polygons))


def relative_path(rings: list[NDArray[np.int64]]) -> tuple[int, int, str]:
    """Where the path starts, seen from the piece's own origin, and the rest of it, relative to that start."""
    first = rings[0][0]
    rest = _line(rings[0])
    at = first
    for ring in rings[1:]:
        dx, dy = ring[0] - at
        rest += f"m{dx}{_number(dy)}{_line(ring)}"
        at = ring[0]
    return int(first[0]), int(first[1]), rest


def cell_places(composition: Composition) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Reference points of the cells in drawing units: x to the right and y down from the lattice's upper
    left corner."""
    x = np.rint(TENTHS * composition.x).astype(np.int64)
    y = np.rint(TENTHS * (composition.fit.lattice_height_mm - composition.y)).astype(np.int64)
    return x, y


def tile_paths(composition: Composition) -> Iterator[TilePath]:
    """One path per filament and tile of cells; open cells are left out. One M per filled cell, since
    holes are relative."""
    starts = [relative_path(polygon_rings(piece.outline)) for piece in composition.pieces]
    filled = np.flatnonzero(composition.piece >= 0)
    if not filled.size:
        return
    across, up = composition.column[filled] // TILE, composition.row[filled] // TILE
    order = np.lexsort((composition.piece[filled], composition.filament[filled], up, across))
    cells = filled[order]
    keys = np.stack((composition.filament[cells], across[order], up[order]), axis=1)
    breaks = np.flatnonzero(np.any(keys[1:] != keys[:-1], axis=1)) + 1
    subpaths = _subpaths(composition, cells, starts)
    bounds = [0, *breaks.tolist(), len(cells)]
    for begin, end in pairwise(bounds):
        filament, column, row = keys[begin].tolist()
        yield TilePath(filament, (column, row), "".join(subpaths[begin:end]))


def _subpaths(
    composition: Composition, cells: NDArray[np.int64], starts: list[tuple[int, int, str]]
) -> list[str]:
    x, y = cell_places(composition)
    piece = composition.piece[cells]
    offsets = np.array([start[:2] for start in starts])[piece]
    places = np.stack((x[cells], y[cells]), axis=1) + offsets
    rests = [start[2] for start in starts]
    return [f"M{px} {py}{rests[p]}" for (px, py), p in zip(places.tolist(), piece.tolist(), strict=True)]


def _line(ring: NDArray[np.int64]) -> str:
    steps = np.diff(ring, axis=0).tolist()
    return "l" + "".join(f"{_number(dx) if i else dx}{_number(dy)}" for i, (dx, dy) in enumerate(steps)) + "z"


def _number(value: int) -> str:
    """A number that may follow another: a minus sign separates by itself."""
    return f"{value}" if value < 0 else f" {value}"
