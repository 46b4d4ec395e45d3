"""Seconds and volume of one part, layer by layer, from its face."""

from dataclasses import dataclass, field, replace
from functools import cached_property
from math import sqrt

import numpy as np
from numpy.typing import NDArray

from studio.lattice.face import Face
from studio.making.bead import flow_limit_mm_s, layer_count, spacing_mm
from studio.making.contours import Contours, Moves, contours_of
from studio.making.equipment import Recipe
from studio.making.lines import FillLines
from studio.making.motion import move_seconds, one_move_seconds
from studio.memo import memo

__all__ = ["PartLoad", "hop_seconds", "load_of"]


SCARCE = 1e-3
"""A core of less than this share has no lines: they would lie further apart than most parts are wide."""
CORE_PHASES = 4
"""Lines far apart may fall anywhere on a small part: the mean of so many ways."""


@dataclass(frozen=True, eq=False)
class PartLoad:
    """What one part takes: `seconds` (n_layers,) of each layer, read-only, and its volume of plastic."""

    seconds: NDArray[np.float64]
    volume_mm3: float

    def mass_g(self, density_g_per_cm3: float) -> float:
        return self.volume_mm3 * density_g_per_cm3 / 1000


def load_of(face: Face, depth_mm: float, recipe: Recipe) -> PartLoad:
    """The load of a part of this face and depth. Equal faces (by digest) are computed once."""
    return _load(_Job(face.digest, depth_mm, recipe, face))


def hop_seconds(recipe: Recipe, distance_mm: float) -> float:
    """Seconds of a travel with retraction."""
    return recipe.retraction_s + _travel(recipe, distance_mm)


@dataclass(frozen=True)
class _Job:
    digest: str
    depth_mm: float
    recipe: Recipe
    face: Face = field(compare=False)


@memo
def _load(job: _Job) -> PartLoad:
    recipe = job.recipe
    count = layer_count(job.depth_mm, recipe.first_layer_mm, recipe.layer_mm)
    solid = np.arange(count) < recipe.bottom_layers
    solid[max(0, count - recipe.top_layers) :] |= recipe.top_layers > 0
    first, upper = _layers(job.face, recipe)
    kinds = {True: upper.seconds(1.0), False: upper.seconds(recipe.core_density)}
    seconds = np.where(solid, kinds[True], kinds[False])
    seconds[0] = first.seconds(1.0 if solid[0] else recipe.core_density)
    seconds.flags.writeable = False
    return PartLoad(seconds, float(_heights(job.depth_mm, recipe, count) @ _covered(first, upper, solid)))


def _heights(depth_mm: float, recipe: Recipe, count: int) -> NDArray[np.float64]:
    """Layer heights that add up to the depth: the last is thinner where it is no whole number of layers."""
    edges = recipe.first_layer_mm + recipe.layer_mm * np.arange(count)
    return np.diff(np.minimum(edges, depth_mm) if count > 1 else np.array([depth_mm]), prepend=0.0)


def _covered(first: "_Layer", upper: "_Layer", solid: NDArray[np.bool_]) -> NDArray[np.float64]:
    """Area of plastic of each layer, mm2."""
    density = upper.recipe.core_density
    area = np.where(solid, upper.area_mm2(1.0), upper.area_mm2(density))
    area[0] = first.area_mm2(1.0 if solid[0] else density)
    return area


def _layers(face: Face, recipe: Recipe) -> tuple["_Layer", "_Layer"]:
    """The first layer and those above it; where they are equally high they have the same contours."""
    first = upper = _layer(face, recipe, recipe.layer_mm)
    if recipe.first_layer_mm != recipe.layer_mm:
        first = _layer(face, recipe, recipe.first_layer_mm)
    return replace(first, limit_mm_s=min(first.limit_mm_s, recipe.first_layer_mm_s)), upper


def _layer(face: Face, recipe: Recipe, layer_mm: float) -> "_Layer":
    spacing = spacing_mm(recipe.bead_mm, layer_mm)
    contours = contours_of(face, recipe.bead_mm, spacing, recipe.walls)
    limit = flow_limit_mm_s(recipe.max_flow_mm3_s, recipe.bead_mm, layer_mm)
    return _Layer(face, recipe, contours, spacing, limit)


@memo
def _fill_lines(contours: Contours, apart_mm: float, phases: int) -> FillLines:
    """Once for the layers of a part; contours are compared by identity."""
    return contours.fill(apart_mm, phases)


@dataclass(frozen=True, eq=False)
class _Layer:
    """One layer's lines. Their length is what fills the area at the line spacing, so that a solid layer
    holds exactly its area times its height: what walls and fill lines leave between them is laid as gap
    lines along the walls."""

    face: Face
    recipe: Recipe
    contours: Contours
    spacing_mm: float
    limit_mm_s: float

    def area_mm2(self, density: float) -> float:
        """Plastic covers the walls' band, and the inside at `density`."""
        return self.face.area_mm2 - (1 - density) * self.contours.inside_mm2

    def seconds(self, density: float) -> float:
        """Walls and their hops, and the mean of the layers whose fill lines run one way and the other."""
        filled = density > SCARCE and self.contours.inside_mm2 > 0
        return self._wall_seconds + (self._fill(density) if filled else 0.0)

    @cached_property
    def _wall_seconds(self) -> float:
        return self._walls() + self._wall_hops()

    def _walls(self) -> float:
        """Walls and gaps. Where walls crowd (a strip thinner than its two beads) their lines count once."""
        outer, *inner = self.contours.walls
        seconds = self._seconds(outer, self.recipe.outer_wall_mm_s)
        seconds += sum(self._seconds(wall, self.recipe.inner_wall_mm_s) for wall in inner)
        laid = sum(wall.total_mm for wall in self.contours.walls)
        band = (self.face.area_mm2 - self.contours.inside_mm2) / self.spacing_mm
        return seconds * (band / laid if laid else 0.0)

    def _seconds(self, wall: Moves, speed_mm_s: float) -> float:
        recipe = self.recipe
        return wall.seconds(min(speed_mm_s, self.limit_mm_s), recipe.acceleration_mm_s2, recipe.corner_mm_s)

    def _fill(self, density: float) -> float:
        """Lines to and fro, the ways between them, and a hop to each run."""
        recipe, speed = self.recipe, min(self.recipe.fill_mm_s, self.limit_mm_s)
        lines = _fill_lines(self.contours, self.spacing_mm / density, 1 if density == 1 else CORE_PHASES)
        moves = move_seconds(lines.moves_mm, speed, recipe.acceleration_mm_s2, recipe.corner_mm_s)
        return float(moves @ lines.counts) + lines.runs * self._hop()

    def _wall_hops(self) -> float:
        """One hop with retraction to each edge's walls, and a step from wall to wall."""
        boundaries = self.contours.boundaries
        loops = sum(wall.loops for wall in self.contours.walls)
        steps = max(0, loops - boundaries) * _travel(self.recipe, self.spacing_mm)
        return boundaries * self._hop() + steps

    def _hop(self) -> float:
        """A hop between edges that share the face's box."""
        box_mm2 = self.face.width_mm * self.face.height_mm
        return hop_seconds(self.recipe, sqrt(box_mm2 / self.contours.boundaries))


def _travel(recipe: Recipe, distance_mm: float) -> float:
    return one_move_seconds(distance_mm, recipe.travel_mm_s, recipe.acceleration_mm_s2, recipe.corner_mm_s)
