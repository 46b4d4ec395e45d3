"""Equal parts in rows on a bed: how they lie, how many fit, where each one is.

Rows are shelves from front to back, filled from the left. Every part keeps its gap to the next; the gap
counts as part of it, so a bed of W x D holds floor((W + g) / (w + g)) * floor((D + g) / (d + g)) equal boxes.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from functools import lru_cache

import numpy as np
import shapely
from numpy.typing import NDArray

from studio.lattice.face import Face
from studio.lattice.part import Part

__all__ = ["Kind", "Lie", "Run", "lies_of", "outline_mm2", "rows"]

NOISE_MM = 1e-6
"""Lengths that differ by less are the same."""


@dataclass(frozen=True, slots=True)
class Lie:
    """One way for equal parts to lie in a row: box of a part, steps from a part to the next (alternately,
    every second part turned by half a turn), and whether the part is turned by a quarter from how its face
    is drawn."""

    width_mm: float
    height_mm: float
    steps_mm: tuple[float, float]
    turned: bool

    def offset_mm(self, index: int) -> float:
        """Left edge of part `index`, counted from 0, from that of the first."""
        pairs, odd = divmod(index, 2)
        return pairs * sum(self.steps_mm) + odd * self.steps_mm[0]

    def run_mm(self, count: int) -> float:
        return self.offset_mm(count - 1) + self.width_mm

    def fitting(self, width_mm: float) -> int:
        """How many parts a row of this width takes."""
        room = width_mm - self.width_mm + NOISE_MM
        if room < 0:
            return 0
        pairs, rest = divmod(room, sum(self.steps_mm))
        return 1 + 2 * int(pairs) + (rest >= self.steps_mm[0])

    def on_bed(self, width_mm: float, depth_mm: float, gap_mm: float) -> int:
        """How many parts rows of them alone take on a whole bed."""
        if self.height_mm > depth_mm + NOISE_MM:
            return 0
        return self.fitting(width_mm) * int((depth_mm + gap_mm + NOISE_MM) / (self.height_mm + gap_mm))


@dataclass(frozen=True, slots=True)
class Run:
    """`count` equal parts side by side from (x_mm, y_mm), the lower left corner on the usable bed."""

    part: int
    count: int
    lie: Lie
    x_mm: float
    y_mm: float

    def lefts_mm(self) -> tuple[float, ...]:
        return tuple(self.x_mm + self.lie.offset_mm(index) for index in range(self.count))


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
        y += row[0].lie.height_mm + gap_mm
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
            height = row[0].lie.height_mm
    return row


def _lie(kind: Kind, width_mm: float, height_mm: float) -> Lie | None:
    """The first way of lying that there is room for."""
    for lie in kind.lies:
        if lie.height_mm <= height_mm + NOISE_MM and lie.width_mm <= width_mm + NOISE_MM:
            return lie
    return None


def lies_of(part: Part, width_mm: float, depth_mm: float, gap_mm: float) -> tuple[Lie, ...]:
    """The ways in which a part fits this bed, the one that fills it best first; none where it does not."""
    outline = _Outline(part.face.digest, part.face)
    return _lies(outline, part.nests == "box", width_mm, depth_mm, gap_mm)


def outline_mm2(face: Face) -> float:
    """Area within the convex outline of a part: what it takes of a bed, however open it is."""
    return _outline_mm2(_Outline(face.digest, face))


@dataclass(frozen=True)
class _Outline:
    """A face's convex outline as a cache key."""

    digest: str
    face: Face = field(compare=False)

    def hull(self, turned: bool = False) -> shapely.Geometry:
        outer = next(ring.points for ring in self.face.rings if not ring.hole)
        points = outer[:, ::-1] * (-1, 1) if turned else outer
        return shapely.MultiPoint(points - points.min(axis=0)).convex_hull


@lru_cache(maxsize=4096)
def _outline_mm2(outline: _Outline) -> float:
    return float(shapely.area(outline.hull()))


@lru_cache(maxsize=4096)
def _lies(outline: _Outline, box: bool, width_mm: float, depth_mm: float, gap_mm: float) -> tuple[Lie, ...]:
    both = (_lie_of(outline, box, gap_mm, turned) for turned in (False, True))
    fitting = [(lie.on_bed(width_mm, depth_mm, gap_mm), lie) for lie in both]
    best_first = sorted(fitting, key=lambda pair: (-pair[0], pair[1].height_mm, pair[1].turned))
    return tuple(lie for count, lie in best_first if count)


@lru_cache(maxsize=4096)
def _lie_of(outline: _Outline, box: bool, gap_mm: float, turned: bool) -> Lie:
    face = outline.face
    width, height = (face.height_mm, face.width_mm) if turned else (face.width_mm, face.height_mm)
    box_step = width + gap_mm
    steps = (box_step, box_step) if box else _steps(outline.hull(turned), gap_mm, box_step)
    return Lie(width, height, steps, turned)


def _steps(hull: shapely.Geometry, gap_mm: float, box_step_mm: float) -> tuple[float, float]:
    """Steps from a convex part to its half turn and back, at which they stay `gap_mm` apart.

    Both are grown by half the gap with mitred corners; at every height the right edge of one then stays left
    of the left edge of the next. Slanted sides of an equilateral triangle come to lie 2 g / sqrt(3) apart
    along the row.
    """
    left, low, right, high = shapely.bounds(hull)
    if gap_mm > NOISE_MM:  # growing by next to nothing leaves nothing
        hull = shapely.buffer(hull, gap_mm / 2, join_style="mitre", mitre_limit=20)
    grown = shapely.get_coordinates(hull)
    centre_x, centre_y = (left + right) / 2, (low + high) / 2
    heights = np.concatenate((grown[:, 1], 2 * centre_y - grown[:, 1]))
    reach = min(grown[:, 1].max() - centre_y, centre_y - grown[:, 1].min())
    heights = heights[np.abs(heights - centre_y) <= reach + NOISE_MM]
    lefts, rights = _profile(grown, heights)
    turned_lefts, turned_rights = _profile(grown, 2 * centre_y - heights)
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
