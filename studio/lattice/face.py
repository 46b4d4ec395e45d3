"""Faces: parts seen from the front, as rings."""

import hashlib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LinearRing, Polygon

__all__ = ["Face", "Ring", "face_of_polygon", "face_of_rings", "rectangle", "ring"]


@dataclass(frozen=True, eq=False)
class Ring:
    """A closed outline, (k, 2) mm, first point not repeated; `hole` when material lies outside it; `count`
    equal rings."""

    points: NDArray[np.float64]
    hole: bool
    count: int = 1


@dataclass(frozen=True, eq=False)
class Face:
    """A part seen from the front: rings (one outer, any holes; equal holes are given once with their count),
    its area and its bounding box. Positions of counted holes do not matter to making."""

    rings: tuple[Ring, ...]
    area_mm2: float
    width_mm: float
    height_mm: float
    digest: str


def ring(
    points: Sequence[tuple[float, float]] | NDArray[np.float64], hole: bool = False, count: int = 1
) -> Ring:
    """A ring of the points, which become read-only."""
    array = np.array(points, dtype=np.float64)
    array.flags.writeable = False
    return Ring(array, hole, count)


def face_of_rings(rings: Iterable[Ring], area_mm2: float) -> Face:
    """The face of an outer ring, which comes first, and holes, with the area that they leave."""
    rings = tuple(rings)
    low, high = rings[0].points.min(axis=0), rings[0].points.max(axis=0)
    width_mm, height_mm = (high - low).tolist()
    return Face(rings, area_mm2, width_mm, height_mm, _digest(rings))


def face_of_polygon(polygon: Polygon) -> Face:
    """The face of a polygon, moved so that its bounding box begins at the origin."""
    corner = polygon.bounds[:2]
    outlines: list[LinearRing] = [polygon.exterior, *polygon.interiors]
    return face_of_rings(
        (ring(shapely.get_coordinates(line)[:-1] - corner, hole=i > 0) for i, line in enumerate(outlines)),
        polygon.area,
    )


def rectangle(width_mm: float, height_mm: float) -> Face:
    """The face of a plain rectangle."""
    corners = [(0.0, 0.0), (width_mm, 0.0), (width_mm, height_mm), (0.0, height_mm)]
    return face_of_rings([ring(corners)], width_mm * height_mm)


def _digest(rings: tuple[Ring, ...]) -> str:
    """Of the points to the last bit: what is made of a face follows all of them, and must not depend on which
    of two that are nearly equal came first."""
    found = hashlib.sha256()
    for each in rings:
        found.update(f"{each.hole} {each.count} {len(each.points)};".encode())
        found.update((each.points + 0.0).tobytes())
    return found.hexdigest()
