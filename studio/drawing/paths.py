"""SVG path data of a composition, in bulk: each distinct piece once, the rest by moving it."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby, pairwise

import numpy as np
from numpy.typing import NDArray
from shapely import Polygon

from studio.drawing.curves import Curve, curves_of
from studio.drawing.rings import PER_MM, polygon_rings
from studio.lattice.composition import Composition, Piece
from studio.memo import memo

__all__ = [
    "TILE", "TilePath", "cell_places", "curves_path", "outline_path", "piece_path", "rings_path",
    "tile_paths",
]  # fmt: skip

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
    return "".join(
        f"M{ring[0, 0]} {ring[0, 1]}l{_run((ring[1:] - ring[:-1]).ravel().tolist())}z" for ring in rings
    )


def outline_path(polygons: Iterable[Polygon]) -> str:
    """Polygons (mm, y up) as path data."""
    return rings_path(polygon_rings(*polygons))


@memo
def piece_path(piece: Piece) -> tuple[int, int, str]:
    """Where a piece's outline starts, seen from its own origin, and the rest, relative to that start."""
    curves = curves_of(piece.outline)
    x, y = curves[0].x, curves[0].y
    return x, y, curves_path(curves).removeprefix(f"M{_run((x, y))}")


def curves_path(curves: Sequence[Curve]) -> str:
    """Path data with one absolute M: closing goes back to where a ring began, and the next is seen from
    there."""
    data, at = f"M{_run((curves[0].x, curves[0].y))}", curves[0]
    for curve in curves:
        data += f"m{_run((curve.x - at.x, curve.y - at.y))}" if curve is not at else ""
        data += _curve(curve)
        at = curve
    return data


def cell_places(composition: Composition) -> NDArray[np.int64]:
    """Reference points of the cells (n, 2) in drawing units: x to the right and y down from the lattice's
    upper left corner."""
    x = PER_MM * composition.x
    y = PER_MM * (composition.fit.lattice_height_mm - composition.y)
    return np.rint(np.stack((x, y), axis=1)).astype(np.int64)


def tile_paths(composition: Composition) -> Iterator[TilePath]:
    """One path per filament and tile of cells; open cells are left out. One M per filled cell, since
    holes are relative."""
    filled = np.flatnonzero(composition.piece >= 0)
    if not filled.size:
        return
    tile = np.stack((composition.column, composition.row))[:, filled] // TILE
    many = int(tile.max()) + 1
    path = (composition.filament[filled].astype(np.int64) * many + tile[0]) * many + tile[1]
    order = np.argsort(path * len(composition.pieces) + composition.piece[filled], kind="stable")
    subpaths, path = _subpaths(composition, filled[order]), path[order]
    bounds = [0, *(np.flatnonzero(np.diff(path)) + 1).tolist(), len(path)]
    for begin, end in pairwise(bounds):
        rest, row = divmod(int(path[begin]), many)
        filament, column = divmod(rest, many)
        yield TilePath(filament, (column, row), "".join(subpaths[begin:end]))


def _subpaths(composition: Composition, cells: NDArray[np.int64]) -> list[str]:
    starts = [piece_path(piece) for piece in composition.pieces]
    piece = composition.piece[cells]
    places = cell_places(composition)[cells] + np.array([start[:2] for start in starts])[piece]
    rests = [start[2] for start in starts]
    return [f"M{x} {y}{rests[p]}" for (x, y), p in zip(places.tolist(), piece.tolist(), strict=True)]


def _curve(curve: Curve) -> str:
    data = ""
    for straight, steps in groupby(curve.steps, key=lambda step: not step.radius):
        if straight:
            data += "l" + _run(number for dx, dy, _ in steps for number in (dx, dy))
        else:
            data += "a" + _run(n for dx, dy, r in steps for n in (abs(r), abs(r), 0, 0, int(r > 0), dx, dy))
    return data + "z"


def _run(numbers: Iterable[int]) -> str:
    """Numbers one after the other; a minus sign separates by itself."""
    return " ".join(map(str, numbers)).replace(" -", "-")
