"""Walls as inward offsets of a face's rings, and the region that they leave."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import cos, radians, sqrt

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import MultiPolygon, Polygon

from studio.lattice.face import Face
from studio.making.lines import FillLines, lines_across, lines_between
from studio.making.motion import move_seconds
from studio.problem import Refused
from studio.voice import length, said

__all__ = ["Contours", "Moves", "contours_of"]

CORNER_COSINE = cos(radians(30))
"""A turn of less than 30 degrees is part of a curve and does not slow the head (common practice, no
source)."""


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
    lines cover, 0 where the walls leave none; `edges` of it, closed rings (k + 1, 2) with their counts, and
    whether all of them are `placed`; `boundaries` is how many edges the face has, holes counted."""

    walls: tuple[Moves, ...]
    inside_mm2: float
    inside_perimeter_mm: float
    boundaries: int
    edges: tuple[tuple[NDArray[np.float64], int], ...] = ()
    placed: bool = True

    def fill(self, apart_mm: float, phases: int) -> FillLines:
        """Fill lines: drawn where all edges are placed, else from the edges alone."""
        if self.placed:
            return lines_across([ring for ring, _ in self.edges], apart_mm, phases)
        steps = [np.diff(ring, axis=0) for ring, _ in self.edges]
        counts = np.repeat([float(count) for _, count in self.edges], [len(step) for step in steps])
        joined = np.concatenate(steps)
        counts *= self.inside_perimeter_mm / (counts @ np.hypot(*joined.T))
        return lines_between(joined, counts, self.inside_mm2, apart_mm, self.boundaries - 1)


def contours_of(face: Face, bead_mm: float, spacing_mm: float, walls: int) -> Contours:
    """At most `walls` walls: the first half a bead from the edge, the rest one line spacing apart. A wall
    whose offset vanishes ends them, so that thin strips take as many as fit. Raises Refused where not even
    one bead fits."""
    whole = _polygon(face)
    distances = [bead_mm / 2 + number * spacing_mm for number in range(walls)]
    insets = _insets(face, whole, [*distances, distances[-1] + spacing_mm / 2])
    if not insets[0]:
        reason = said("it is thinner than a bead of {}", length(bead_mm))
        raise Refused.because("face", reason, "a thinner bead or wider strips")
    laid = 1
    while laid < walls and _area_mm2(insets[laid]) > 0:
        laid += 1
    within = distances[laid - 1] + spacing_mm / 2
    inside = insets[-1] if laid == walls else _insets(face, whole, [within])[0]
    return _around(face, whole, tuple(map(_moves, insets[:laid])), inside, within)


def _around(
    face: Face, whole: Polygon | None, walls: tuple[Moves, ...], inside: list["_Edge"], distance_mm: float
) -> Contours:
    """The walls, and what they leave inside."""
    boundaries = sum(ring.count for ring in face.rings)
    area = min(_area_mm2(inside), face.area_mm2)
    if area <= 0:
        return Contours(walls, 0.0, 0.0, boundaries)
    edges = tuple((ring, edge.count) for edge in inside for ring in _rings(edge.shape))
    perimeter = sum(edge.count * float(edge.shape.length) for edge in inside)
    if whole is not None:
        return Contours(walls, area, perimeter, boundaries, edges)
    passed_mm, rim_mm = _rim(face, inside, distance_mm)
    if passed_mm > 0:
        area, perimeter = area + passed_mm * rim_mm, perimeter - 2 * rim_mm
    return Contours(walls, area, perimeter, boundaries, edges, placed=False)


def _rim(face: Face, inside: list["_Edge"], distance_mm: float) -> tuple[float, float]:
    """Round a lattice that is cut along the middle of its strips only half a strip stands, which the walls
    may fill: by how much the edges inside have then passed each other there, and the length of the rim.

    Half a strip stands round every hole, so the face is the holes' outlines grown by it, less the holes:
    perimeter times t and a corner term times t^2 (Steiner's formula with mitred corners)."""
    holes = [(Polygon(ring.points), ring.count) for ring in face.rings if ring.hole]
    grown = sum(edge.count * float(edge.shape.area) for edge in inside if edge.area_sign < 0)
    around = sum(count * float(hole.length) for hole, count in holes)
    within = sum(count * float(hole.area) for hole, count in holes)
    corners = (grown - within - around * distance_mm) / distance_mm**2
    half_strip = (sqrt(around**2 + 4 * corners * face.area_mm2) - around) / (2 * corners)
    rim = next(edge for edge in inside if edge.area_sign > 0)
    return 2 * distance_mm - half_strip, float(rim.shape.length)


@dataclass(frozen=True, eq=False)
class _Edge:
    """A shape bounded by offset edges; `area_sign` is -1 for a hole; `count` equal ones."""

    shape: Polygon | MultiPolygon
    area_sign: int
    count: int


def _polygon(face: Face) -> Polygon | None:
    """The face as one polygon, or None where holes are counted (their positions are not known) or do not lie
    inside."""
    if any(ring.count > 1 for ring in face.rings):
        return None
    shell = next(ring.points for ring in face.rings if not ring.hole)
    polygon = Polygon(shell, [ring.points for ring in face.rings if ring.hole])
    return polygon if polygon.is_valid else None


def _insets(face: Face, whole: Polygon | None, distances_mm: list[float]) -> list[list[_Edge]]:
    """The face's edges moved inwards, for each distance: a solid shrinks, a counted hole grows. Empty where
    nothing is left."""
    if whole is not None:
        kinds = [(whole, False, 1)]
    else:
        kinds = [(Polygon(ring.points), ring.hole, ring.count) for ring in face.rings]
    moved = np.outer(distances_mm, [1.0 if hole else -1.0 for _, hole, _ in kinds])
    shapes = shapely.buffer([shape for shape, _, _ in kinds], moved, join_style="mitre")
    return [
        [
            _Edge(shape, -1 if hole else 1, count)
            for shape, (_, hole, count) in zip(row, kinds, strict=True)
            if not shape.is_empty
        ]
        for row in shapes
    ]


def _area_mm2(edges: list[_Edge]) -> float:
    """Area that the edges enclose; 0 or less when they have met."""
    return sum(edge.area_sign * edge.count * float(edge.shape.area) for edge in edges)


def _moves(edges: list[_Edge]) -> Moves:
    runs = [(_runs(ring), edge.count) for edge in edges for ring in _rings(edge.shape)]
    lengths = np.concatenate([run for run, _ in runs])
    counts = np.repeat([float(count) for _, count in runs], [len(run) for run, _ in runs])
    return Moves(lengths, counts, sum(count for _, count in runs))


def _rings(shape: Polygon | MultiPolygon) -> Iterator[NDArray[np.float64]]:
    """Points (k + 1, 2) of every edge, the first repeated at the end."""
    for part in shape.geoms if isinstance(shape, MultiPolygon) else (shape,):
        for ring in (part.exterior, *part.interiors):
            yield shapely.get_coordinates(ring)


def _runs(ring: NDArray[np.float64]) -> NDArray[np.float64]:
    """Lengths between the corners of a closed ring."""
    points = ring[:, 0] + 1j * ring[:, 1]
    edges = points[1:] - points[:-1]
    edges = edges[edges != 0]
    lengths = np.abs(edges)
    before = np.concatenate((edges[-1:], edges[:-1]))
    turns = (edges * before.conj()).real < CORNER_COSINE * lengths * np.abs(before)
    corners = turns.nonzero()[0]
    if len(corners) < 2:
        return np.array([lengths.sum()])
    from_corner = np.concatenate((lengths[corners[0] :], lengths[: corners[0]]))
    return np.asarray(np.add.reduceat(from_corner, corners - corners[0]))
