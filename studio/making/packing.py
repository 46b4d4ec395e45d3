"""Equal parts in rows on a bed: how they lie, how many fit, where each one is.

Rows are shelves from front to back, filled from the left. Every part keeps its gap to the next; the gap
counts as part of it, so a bed of W x D holds floor((W + g) / (w + g)) * floor((D + g) / (d + g)) equal boxes.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from math import cos, pi, radians, sin
from typing import cast

import numpy as np
import shapely
from numpy.typing import NDArray

from studio.lattice.face import Face
from studio.lattice.part import Part

__all__ = ["Kind", "Lie", "Run", "grown_mm2", "lies_of", "outline_mm2", "rows"]

NOISE_MM = 1e-6
"""Lengths that differ by less are the same."""
SIDES = 3
"""Sides of a nesting part that may lie at the bottom of its row, the longest ones."""


@dataclass(frozen=True, slots=True)
class Lie:
    """One way for equal parts to lie in a row: box of a part, steps from a part to the next (alternately,
    every second part turned by half a turn and raised by `rise_mm` or, where that is less than 0, the others
    by as much), and how far the parts are turned anticlockwise from how their face is drawn."""

    width_mm: float
    height_mm: float
    steps_mm: tuple[float, float]
    turn_degrees: float = 0.0
    rise_mm: float = 0.0

    @property
    def row_mm(self) -> float:
        """Height of a row."""
        return self.height_mm + abs(self.rise_mm)

    def offset_mm(self, index: int) -> tuple[float, float]:
        """Lower left corner of the box of part `index`, counted from 0, from that of the row."""
        pairs, odd = divmod(index, 2)
        rise = max(0.0, self.rise_mm) if odd else max(0.0, -self.rise_mm)
        return pairs * sum(self.steps_mm) + odd * self.steps_mm[0], rise

    def run_mm(self, count: int) -> float:
        return self.offset_mm(count - 1)[0] + self.width_mm

    def fitting(self, width_mm: float) -> int:
        """How many parts a row of this width takes."""
        room = width_mm - self.width_mm + NOISE_MM
        if room < 0:
            return 0
        pairs, rest = divmod(room, sum(self.steps_mm))
        return 1 + 2 * int(pairs) + (rest >= self.steps_mm[0])

    def on_bed(self, width_mm: float, depth_mm: float, gap_mm: float) -> int:
        """How many parts rows of them alone take on a whole bed."""
        if self.row_mm > depth_mm + NOISE_MM:
            return 0
        return self.fitting(width_mm) * int((depth_mm + gap_mm + NOISE_MM) / (self.row_mm + gap_mm))


@dataclass(frozen=True, slots=True)
class Run:
    """`count` equal parts side by side from (x_mm, y_mm), the lower left corner on the usable bed."""

    part: int
    count: int
    lie: Lie
    x_mm: float
    y_mm: float

    def corners_mm(self) -> tuple[tuple[float, float], ...]:
        """Lower left corners of the parts' boxes."""
        offsets = (self.lie.offset_mm(index) for index in range(self.count))
        return tuple((self.x_mm + x, self.y_mm + y) for x, y in offsets)


@dataclass(frozen=True)
class Kind:
    """Parts to place: the key under which they are counted, how they may lie (best first), how many there
    are."""

    part: int
    lies: tuple[Lie, ...]
    count: int


def rows(
    kinds: Sequence[Kind], width_mm: float, depth_mm: float, gap_mm: float, allow: Callable[[int, int], int]
) -> list[Run]:
    """Fill one bed, taking `kinds` in their order; a row that has room left takes later kinds that are no
    higher. `allow(part, n)` says how many of n more the plate may take and counts them as taken."""
    placed: list[Run] = []
    left = {kind.part: kind.count for kind in kinds}
    y = 0.0
    while row := _row(kinds, left, width_mm, depth_mm, gap_mm, y, allow):
        placed += row
        y += row[0].lie.row_mm + gap_mm
    return placed


def _row(
    kinds: Sequence[Kind],
    left: dict[int, int],
    width_mm: float,
    depth_mm: float,
    gap_mm: float,
    y_mm: float,
    allow: Callable[[int, int], int],
) -> list[Run]:
    row: list[Run] = []
    x, height = 0.0, depth_mm - y_mm
    for kind in kinds:
        lie = _lie(kind, width_mm - x, height) if left[kind.part] else None
        if lie is None:
            continue
        count = allow(kind.part, min(left[kind.part], lie.fitting(width_mm - x)))
        if count:
            left[kind.part] -= count
            row.append(Run(kind.part, count, lie, x, y_mm))
            x += lie.run_mm(count) + gap_mm
            height = row[0].lie.row_mm
    return row


def _lie(kind: Kind, width_mm: float, height_mm: float) -> Lie | None:
    """The first way of lying that there is room for."""
    for lie in kind.lies:
        if lie.row_mm <= height_mm + NOISE_MM and lie.width_mm <= width_mm + NOISE_MM:
            return lie
    return None


def lies_of(part: Part, width_mm: float, depth_mm: float, gap_mm: float) -> tuple[Lie, ...]:
    """The ways in which a part fits this bed, the one that fills it best first; none where it does not."""
    outline = _Outline(part.face.digest, part.face)
    return _lies(outline, part.nests == "box", width_mm, depth_mm, gap_mm)


def outline_mm2(face: Face) -> float:
    """Area within the convex outline of a part: what it takes of a bed, however open it is."""
    return _outline_mm2(_Outline(face.digest, face))


def grown_mm2(face: Face, gap_mm: float) -> float:
    """The same with half a gap all round, A + P r + pi r^2 (Steiner's formula for convex shapes)."""
    hull = _Outline(face.digest, face).hull()
    return float(hull.area + hull.length * gap_mm / 2 + pi * (gap_mm / 2) ** 2)


@dataclass(frozen=True)
class _Outline:
    """A face's convex outline as a cache key."""

    digest: str
    face: Face = field(compare=False)

    def hull(self, degrees: float = 0.0) -> shapely.Polygon:
        """Turned anticlockwise, its box at the origin."""
        points = self.points() @ _turn(degrees)
        return cast(shapely.Polygon, shapely.MultiPoint(points - points.min(axis=0)).convex_hull)

    def points(self) -> NDArray[np.float64]:
        return next(ring.points for ring in self.face.rings if not ring.hole)


def _turn(degrees: float) -> NDArray[np.float64]:
    """Matrix for rows of points; quarter turns are exact."""
    quarters = {0.0: (1.0, 0.0), 90.0: (0.0, 1.0)}
    cosine, sine = quarters.get(degrees, (cos(radians(degrees)), sin(radians(degrees))))
    return np.array([[cosine, sine], [-sine, cosine]])


@lru_cache(maxsize=4096)
def _outline_mm2(outline: _Outline) -> float:
    return float(outline.hull().area)


@lru_cache(maxsize=4096)
def _lies(outline: _Outline, box: bool, width_mm: float, depth_mm: float, gap_mm: float) -> tuple[Lie, ...]:
    found = (lie for turn in _turns(outline, box) for lie in _lies_at(outline, box, gap_mm, turn))
    fitting = [(lie.on_bed(width_mm, depth_mm, gap_mm), lie) for lie in found]
    best_first = sorted(fitting, key=lambda pair: (-pair[0], pair[1].row_mm, pair[1].turn_degrees))
    return tuple(lie for count, lie in best_first if count)


@lru_cache(maxsize=4096)
def _turns(outline: _Outline, box: bool) -> tuple[float, ...]:
    """As drawn, by a quarter, and, where parts nest, each of the longest sides at the bottom of the row."""
    turns = [0.0, 90.0]
    if not box:
        sides = np.diff(shapely.get_coordinates(outline.hull()), axis=0)
        longest = sides[np.argsort(-np.hypot(*sides.T), kind="stable")[:SIDES]]
        turns += [-float(np.degrees(np.arctan2(y, x))) % 180 for x, y in longest.tolist()]
    different = {round(turn, 6) % 180: turn for turn in reversed(turns)}
    return tuple(different.values())


@lru_cache(maxsize=4096)
def _lies_at(outline: _Outline, box: bool, gap_mm: float, degrees: float) -> tuple[Lie, ...]:
    """Side by side, with every second part raised so that slanted sides lie along each other where that saves
    width."""
    hull = outline.hull(degrees)
    _, _, width, height = shapely.bounds(hull).tolist()
    box_step = width + gap_mm
    if box:
        return (Lie(width, height, (box_step, box_step), degrees),)
    grown: shapely.Geometry = hull
    if gap_mm > NOISE_MM:  # growing by next to nothing leaves nothing
        grown = shapely.buffer(hull, gap_mm / 2, join_style="mitre", mitre_limit=20)
    _, low, _, high = shapely.bounds(grown).tolist()
    middle = (width / 2, height / 2)
    outlines = shapely.get_coordinates(grown)
    level, raised = (
        Lie(width, height, _steps(outlines, middle, box_step, rise), degrees, rise)
        for rise in (0.0, high - height + low)
    )
    return (level, raised) if sum(raised.steps_mm) < sum(level.steps_mm) - NOISE_MM else (level,)


def _steps(
    grown: NDArray[np.float64], middle: tuple[float, float], box_step_mm: float, rise_mm: float
) -> tuple[float, float]:
    """Steps from a convex part to its half turn, raised by `rise_mm`, and back, at which they stay apart.

    `grown` is the part grown by half the gap with mitred corners, `middle` that of its own box: at every
    height the right edge of one stays left of the left edge of the next. Slanted sides of an equilateral
    triangle come to lie 2 g / sqrt(3) apart along the row when all stand level.
    """
    centre_x, mirror = middle[0], 2 * middle[1] + rise_mm
    low, high = grown[:, 1].min(), grown[:, 1].max()
    heights = np.concatenate((grown[:, 1], mirror - grown[:, 1]))
    within = (heights >= max(low, mirror - high) - NOISE_MM) & (heights <= min(high, mirror - low) + NOISE_MM)
    heights = heights[within]
    lefts, rights = _profile(grown, heights)
    turned_lefts, turned_rights = _profile(grown, mirror - heights)
    to_turned = float((rights + turned_rights).max() - 2 * centre_x)
    to_upright = float(2 * centre_x - (lefts + turned_lefts).min())
    return min(to_turned, box_step_mm), min(to_upright, box_step_mm)


def _profile(
    outline: NDArray[np.float64], heights: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Leftmost and rightmost x of a closed convex outline at each height."""
    start, end = outline[:-1], outline[1:]
    rise = end[:, 1] - start[:, 1]
    slanted = np.abs(rise) > NOISE_MM
    start, end, rise = start[slanted], end[slanted], rise[slanted]
    share = (heights[:, None] - start[:, 1]) / rise
    x = start[:, 0] + np.clip(share, 0, 1) * (end[:, 0] - start[:, 0])
    crossed = np.abs(share - 0.5) <= 0.5 + 1e-9
    return np.where(crossed, x, np.inf).min(axis=1), np.where(crossed, x, -np.inf).max(axis=1)
