"""Walls as inward offsets of a face's rings, and the region that they leave."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import cos, radians

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon

from studio.lattice.bill import Face
from studio.making.motion import move_seconds
from studio.problem import Refused

__all__ = ["Contours", "Moves", "contours_of"]

CORNER_COSINE = cos(radians(30))
"""A turn of less than 30 degrees is part of a curve and does not slow the head (common practice, no
source)."""

Loop = tuple[NDArray[np.float64], int]
"""Corner points (k, 2) mm and how many equal loops there are."""


@dataclass(frozen=True, eq=False)
class Moves:
    """Runs between corners: their lengths in mm, each with its number; and the loops that they make up."""

    lengths_mm: NDArray[np.float64]
    counts: NDArray[np.float64]
    loops: int

    @property
    def total_mm(self) -> float:
        return float(self.lengths_mm @ self.counts)

    def seconds(self, speed: float, acceleration: float, corner: float) -> float:
        return float(move_seconds(self.lengths_mm, speed, acceleration, corner) @ self.counts)


@dataclass(frozen=True, eq=False)
class Contours:
    """`walls` from the outermost inwards; `inside_mm2` and `inside_perimeter_mm` of the region that fill
    lines cover, 0 where the walls leave none; `boundaries` is how many edges the face has, holes counted."""

    walls: tuple[Moves, ...]
    inside_mm2: float
    inside_perimeter_mm: float
    boundaries: int


def contours_of(face: Face, bead_mm: float, spacing_mm: float, walls: int) -> Contours:
    """At most `walls` walls: the first half a bead from the edge, the rest one line spacing apart. A wall
    whose offset vanishes ends them, so that thin strips take as many as fit. Raises Refused where not even
    one bead fits."""
    whole = _polygon(face)
    laid: list[Moves] = []
    for number in range(walls):
        loops, area = _inset(face, whole, bead_mm / 2 + number * spacing_mm)
        if laid and area <= 0:
            break
        if not loops:
            raise Refused.because(
                "face", f"it is thinner than a bead of {bead_mm:g} mm", "a thinner bead or wider strips"
            )
        laid.append(_moves(loops))
    inner_edge = bead_mm / 2 + (len(laid) - 0.5) * spacing_mm
    loops, area = _inset(face, whole, inner_edge)
    perimeter = sum(_perimeter(points) * count for points, count in loops)
    boundaries = sum(ring.count for ring in face.rings)
    inside = (min(area, face.area_mm2), perimeter) if area > 0 else (0.0, 0.0)
    return Contours(tuple(laid), *inside, boundaries)


def _polygon(face: Face) -> Polygon | None:
    """The face as one polygon, or None where holes are counted (their positions are not known) or do not
    lie inside."""
    if any(ring.count > 1 for ring in face.rings):
        return None
    shell = next(ring.points for ring in face.rings if not ring.hole)
    polygon = Polygon(shell, [ring.points for ring in face.rings if ring.hole])
    return polygon if polygon.is_valid else None


def _inset(face: Face, whole: Polygon | None, distance_mm: float) -> tuple[list[Loop], float]:
    """The face's edges moved inwards, and the area that they then enclose (0 or less when they have met)."""
    if whole is not None:
        smaller = whole.buffer(-distance_mm, join_style="mitre")
        return [(points, 1) for points in _loops(smaller)], float(smaller.area)
    loops: list[Loop] = []
    area = 0.0
    for ring in face.rings:
        moved = Polygon(ring.points).buffer(distance_mm if ring.hole else -distance_mm, join_style="mitre")
        loops += [(points, ring.count) for points in _loops(moved)]
        area += (-1 if ring.hole else 1) * ring.count * float(moved.area)
    return loops, area


def _loops(shape: shapely.Geometry) -> Iterator[NDArray[np.float64]]:
    for part in shapely.get_parts(shape):
        for ring in shapely.get_rings(part):
            yield shapely.get_coordinates(ring)[:-1]


def _moves(loops: list[Loop]) -> Moves:
    runs = [(_runs(points), count) for points, count in loops]
    lengths = np.concatenate([run for run, _ in runs] or [np.empty(0)])
    counts = np.repeat([float(count) for _, count in runs], [len(run) for run, _ in runs])
    return Moves(lengths, counts, sum(count for _, count in loops))


def _runs(points: NDArray[np.float64]) -> NDArray[np.float64]:
    """Lengths between the corners of a closed loop."""
    edges = np.roll(points, -1, axis=0) - points
    lengths = np.hypot(edges[:, 0], edges[:, 1])
    edges, lengths = edges[lengths > 0], lengths[lengths > 0]
    ahead = edges / lengths[:, None]
    corners = np.flatnonzero((ahead * np.roll(ahead, 1, axis=0)).sum(axis=1) < CORNER_COSINE)
    if len(corners) < 2:
        return np.array([lengths.sum()])
    return np.asarray(np.add.reduceat(np.roll(lengths, -corners[0]), corners - corners[0]))


def _perimeter(points: NDArray[np.float64]) -> float:
    edges = np.roll(points, -1, axis=0) - points
    return float(np.hypot(edges[:, 0], edges[:, 1]).sum())
