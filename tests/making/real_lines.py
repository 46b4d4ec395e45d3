"""A part as lines that are really drawn, layer by layer: the reference for what making computes.

Walls and beads are drawn and cut with shapely; fill lines are straight lines at the line spacing, clipped to
the inside, at 45 and 135 degrees in turn. Nothing here comes from the model but the recipe's numbers.
"""

from dataclasses import dataclass
from math import pi

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon
from shapely.affinity import rotate

from studio.making.equipment import Recipe

ANGLES = (45.0, 135.0)


@dataclass(frozen=True)
class Fill:
    """Seconds of lines and turns, millimetres of lines, and how many runs they make up."""

    seconds: float
    lines_mm: float
    runs: int


@dataclass(frozen=True)
class Drawn:
    """Seconds of lines and of all, and plastic, of a whole part."""

    seconds: float
    volume_mm3: float


def profile_s(lengths: NDArray[np.float64], speed: float, recipe: Recipe) -> float:
    """Seconds of moves between corner speeds: v^2 = c^2 + 2 a s up to the speed or to the middle."""
    corner, a = min(recipe.corner_mm_s, speed), recipe.acceleration_mm_s2
    ramp = (speed**2 - corner**2) / (2 * a)
    short = lengths < 2 * ramp
    top = np.where(short, np.sqrt(corner**2 + a * lengths), speed)
    return float((2 * (top - corner) / a + np.where(short, 0, lengths - 2 * ramp) / speed).sum())


def spacing(recipe: Recipe, layer_mm: float) -> float:
    return recipe.bead_mm - layer_mm * (1 - pi / 4)


def walls(shape: Polygon, recipe: Recipe, s: float) -> tuple[list[Polygon], shapely.Geometry]:
    """Centre lines of the walls (as the areas within them), and the inside that they leave."""
    drawn = []
    for number in range(recipe.walls):
        within = shape.buffer(-(recipe.bead_mm / 2 + number * s), join_style="mitre")
        if within.is_empty:
            break
        drawn.append(within)
    return drawn, shape.buffer(-(recipe.bead_mm / 2 + (len(drawn) - 0.5) * s), join_style="mitre")


def rings(shape: shapely.Geometry) -> list[NDArray[np.float64]]:
    return [shapely.get_coordinates(r) for p in shapely.get_parts(shape) for r in (p.exterior, *p.interiors)]


def runs(ring: NDArray[np.float64]) -> NDArray[np.float64]:
    """Lengths between turns of 30 degrees or more, found step by step."""
    steps = np.diff(ring, axis=0)
    lengths = np.hypot(*steps.T)
    headings = np.arctan2(steps[:, 1], steps[:, 0])
    turns = np.abs((headings - np.roll(headings, 1) + pi) % (2 * pi) - pi) >= np.radians(30)
    if turns.sum() < 2:
        return np.array([lengths.sum()])
    first = int(np.flatnonzero(turns)[0])
    lengths, turns = np.roll(lengths, -first), np.roll(turns, -first)
    return np.bincount(np.cumsum(turns) - 1, lengths)


def hatch(shape: shapely.Geometry, apart_mm: float, angle: float, phase: float) -> NDArray[np.float64]:
    """Lines clipped to the shape, (n, 2, 2): their ends as points; the first `phase` of a spacing inside."""
    turned = rotate(shape, -angle, origin=(0, 0))
    left, low, right, high = turned.bounds
    heights = np.arange(low + apart_mm * phase, high, apart_mm)
    lines = shapely.linestrings([[(left - 1, y), (right + 1, y)] for y in heights])
    pieces = shapely.get_parts(shapely.intersection(lines, turned))
    pieces = pieces[shapely.length(pieces) > 1e-9]
    assert (shapely.get_num_coordinates(pieces) == 2).all()
    back = shapely.from_wkt("MULTIPOINT EMPTY") if not len(pieces) else shapely.MultiLineString(list(pieces))
    return shapely.get_coordinates(rotate(back, angle, origin=(0, 0))).reshape(-1, 2, 2)


def ways_along_edges(
    shape: shapely.Geometry, lines: NDArray[np.float64]
) -> dict[int, list[tuple[int, float]]]:
    """For each end of a line (2 n of them) the ends before and after it on its edge, and how far along."""
    edges = [shapely.LinearRing(ring) for ring in rings(shape)]
    points = shapely.points(lines.reshape(-1, 2))
    owner = np.argmin([shapely.distance(edge, points) for edge in edges], axis=0)
    ways: dict[int, list[tuple[int, float]]] = {}
    for number, edge in enumerate(edges):
        own = np.flatnonzero(owner == number)
        at = shapely.line_locate_point(edge, points[own])
        order = np.argsort(at)
        own, at = own[order], at[order]
        gaps = (np.roll(at, -1) - at) % edge.length
        for here, there, gap in zip(own, np.roll(own, -1), gaps, strict=True):
            ways.setdefault(int(here), []).append((int(there), float(gap)))
            ways.setdefault(int(there), []).append((int(here), float(gap)))
    return ways


def walked(shape: shapely.Geometry, lines: NDArray[np.float64]) -> tuple[list[float], int]:
    """To and fro: from a line's end along the edge to the nearest end of a line that is not drawn yet; where
    there is none, a new run begins. The ways along edges, and how many runs."""
    ways = ways_along_edges(shape, lines)
    drawn, turns, begun = set[int](), [], 0
    for first in range(len(lines)):
        if first in drawn:
            continue
        begun += 1
        end = 2 * first + 1
        drawn.add(first)
        while free := [(gap, there) for there, gap in ways[end] if there // 2 not in drawn]:
            gap, there = min(free)
            turns.append(gap)
            drawn.add(there // 2)
            end = there ^ 1
    return turns, begun


def fill(
    shape: shapely.Geometry, apart_mm: float, angle: float, recipe: Recipe, speed: float, phase: float = 0.5
) -> Fill:
    """Lines and the ways between them, and how many runs they take."""
    lines = hatch(shape, apart_mm, angle, phase) if not shape.is_empty else np.zeros((0, 2, 2))
    if not len(lines):
        return Fill(0.0, 0.0, 0)
    turns, begun = walked(shape, lines)
    lengths = np.hypot(*(lines[:, 1] - lines[:, 0]).T)
    moving = profile_s(lengths, speed, recipe) + profile_s(np.array(turns), speed, recipe)
    return Fill(moving, float(lengths.sum()), begun)


def drawn(shape: Polygon, depth_mm: float, recipe: Recipe) -> Drawn:
    """All layers of a part, every fill line drawn. Small parts may lie anywhere under lines that are far
    apart: the mean of four ways. Layers are equally high."""
    s = spacing(recipe, recipe.layer_mm)
    layers = round(depth_mm / recipe.layer_mm)
    solid = recipe.bottom_layers + recipe.top_layers
    total = Drawn(0.0, 0.0)
    for count, limit, density in (
        (1, recipe.first_layer_mm_s, 1.0),
        (solid - 1, 1e9, 1.0),
        (layers - solid, 1e9, recipe.core_density),
    ):
        one = drawn_layer(shape, recipe, s, limit, density)
        seconds, volume = total.seconds + count * one.seconds, total.volume_mm3 + count * one.volume_mm3
        total = Drawn(seconds, volume)
    return total


def drawn_layer(shape: Polygon, recipe: Recipe, s: float, limit: float, density: float) -> Drawn:
    """One layer: walls, what they leave between them drawn along them, hops, and fill."""
    within, inside = walls(shape, recipe, s)
    band = (shape.area - inside.area) / s
    speeds = [recipe.outer_wall_mm_s, *[recipe.inner_wall_mm_s] * (len(within) - 1)]
    moves = [(np.concatenate([runs(r) for r in rings(w)]), v) for w, v in zip(within, speeds, strict=True)]
    laid = sum(float(lengths.sum()) for lengths, _ in moves)
    seconds = sum(profile_s(lengths, min(v, limit), recipe) for lengths, v in moves) * band / laid
    edges = 1 + len(shape.interiors)
    left, low, right, high = shape.bounds
    far = np.sqrt((right - left) * (high - low) / edges)
    hop = recipe.retraction_s + profile_s(np.array([far]), recipe.travel_mm_s, recipe)
    steps = sum(len(rings(w)) for w in within) - edges
    seconds += edges * hop + max(0, steps) * profile_s(np.array([s]), recipe.travel_mm_s, recipe)
    phases = (0.5,) if density == 1 else (0.125, 0.375, 0.625, 0.875)
    speed = min(recipe.fill_mm_s, limit)
    fills = [fill(inside, s / density, a, recipe, speed, phase) for a in ANGLES for phase in phases]
    seconds += float(np.mean([f.seconds + f.runs * hop for f in fills]))
    millimetres = band + float(np.mean([f.lines_mm for f in fills]))
    return Drawn(seconds, millimetres * s * recipe.layer_mm)
