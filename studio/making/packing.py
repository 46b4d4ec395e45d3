"""Equal parts in rows on a bed: how they lie, how many fit, where each one is.

Rows are shelves from front to back, filled from the left. Every part keeps its gap to the next; the gap
counts as part of it, so a bed of W x D holds floor((W + g) / (w + g)) * floor((D + g) / (d + g)) equal boxes.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from math import cos, radians, sin

import numpy as np
import shapely
from numpy.typing import NDArray

from studio.lattice.face import Face
from studio.lattice.part import Part
from studio.memo import memo

__all__ = ["Batch", "Lie", "PartRun", "lies_of", "outline_mm2", "rows", "turning"]

NOISE_MM = 1e-6
"""Lengths that differ by less are the same."""
Points = NDArray[np.complex128]
"""Points as complex numbers: x + iy, mm."""
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
    row_mm: float = field(init=False)
    """Height of a row."""

    def __post_init__(self) -> None:
        object.__setattr__(self, "row_mm", self.height_mm + abs(self.rise_mm))

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
class PartRun:
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
class Batch:
    """Parts to place: the key under which they are counted, how they may lie (best first), how many there
    are."""

    part: int
    lies: tuple[Lie, ...]
    count: int


def rows(
    kinds: Sequence[Batch], width_mm: float, depth_mm: float, gap_mm: float, allow: Callable[[int, int], int]
) -> list[PartRun]:
    """Fill one bed, taking `kinds` in their order; a row that has room left takes later kinds that are no
    higher. `allow(part, n)` says how many of n more the plate may take and counts them as taken; a part of
    which it has taken fewer is not asked for again."""
    placed: list[PartRun] = []
    left = {kind.part: kind.count for kind in kinds}
    y = 0.0
    while row := _row(
        [kind for kind in kinds if left[kind.part]], left, width_mm, depth_mm, gap_mm, y, allow
    ):
        placed += row
        y += row[0].lie.row_mm + gap_mm
    return placed


def _row(
    kinds: Sequence[Batch],
    left: dict[int, int],
    width_mm: float,
    depth_mm: float,
    gap_mm: float,
    y_mm: float,
    allow: Callable[[int, int], int],
) -> list[PartRun]:
    row: list[PartRun] = []
    x, height = 0.0, depth_mm - y_mm
    for kind in kinds:
        lie = _lie(kind.lies, width_mm - x + NOISE_MM, height + NOISE_MM)
        if lie is None:
            continue
        wanted = min(left[kind.part], lie.fitting(width_mm - x))
        count = allow(kind.part, wanted)
        left[kind.part] = left[kind.part] - count if count == wanted else 0
        if count:
            row.append(PartRun(kind.part, count, lie, x, y_mm))
            x += lie.run_mm(count) + gap_mm
            height = row[0].lie.row_mm
    return row


def _lie(lies: tuple[Lie, ...], width_mm: float, height_mm: float) -> Lie | None:
    """The first way of lying that there is room for."""
    for lie in lies:
        if lie.row_mm <= height_mm and lie.width_mm <= width_mm:
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


@memo
def _corners(outline: _Outline) -> Points:
    """Corners anticlockwise."""
    outer = next(ring.points for ring in outline.face.rings if not ring.hole)
    hull = shapely.convex_hull(shapely.linestrings(outer))
    x, y = shapely.get_coordinates(shapely.normalize(hull))[:-1][::-1].T
    return np.asarray(x + 1j * y)


def turning(degrees: float) -> NDArray[np.float64]:
    """Matrix for rows of points; quarter turns are exact."""
    unit = _unit(degrees)
    return np.array([[unit.real, unit.imag], [-unit.imag, unit.real]])


def _unit(degrees: float) -> complex:
    """What a point x + iy is multiplied by to turn it."""
    quarters = {0.0: 1 + 0j, 90.0: 1j}
    return quarters.get(degrees, complex(cos(radians(degrees)), sin(radians(degrees))))


@memo
def _outline_mm2(outline: _Outline) -> float:
    points = _corners(outline)
    return float((points.conj() @ np.concatenate((points[1:], points[:1]))).imag) / 2


@memo
def _lies(outline: _Outline, box: bool, width_mm: float, depth_mm: float, gap_mm: float) -> tuple[Lie, ...]:
    fitting = [(lie.on_bed(width_mm, depth_mm, gap_mm), lie) for lie in _lies_at(outline, box, gap_mm)]
    best_first = sorted(fitting, key=lambda pair: (-pair[0], pair[1].row_mm, pair[1].turn_degrees))
    return tuple(lie for count, lie in best_first if count)


@memo
def _turns(outline: _Outline) -> tuple[float, ...]:
    """As drawn, by a quarter, and each of the longest sides at the bottom of the row; of turns that give the
    same box only one."""
    sides = _sides(_corners(outline))
    longest = sides[np.argsort(-np.abs(sides), kind="stable")[:SIDES]]
    turns = [0.0, 90.0, *(-np.degrees(np.angle(longest)) % 180).tolist()]
    turned = _corners(outline) * np.array([[_unit(turn)] for turn in turns])
    widths, heights = (at.max(axis=1) - at.min(axis=1) for at in (turned.real, turned.imag))
    first: dict[tuple[float, float], float] = {}
    for width, height, turn in zip(widths.round(3).tolist(), heights.round(3).tolist(), turns, strict=True):
        first.setdefault((width, height), turn)
    return tuple(first.values())


@memo
def _lies_at(outline: _Outline, box: bool, gap_mm: float) -> tuple[Lie, ...]:
    """Every way of lying, however large the bed."""
    if not box:
        return tuple(lie for turn in _turns(outline) for lie in _nested(outline, gap_mm, turn))
    across, up = outline.face.width_mm, outline.face.height_mm
    return tuple(
        Lie(width, height, (width + gap_mm, width + gap_mm), turn)
        for width, height, turn in ((across, up, 0.0), (up, across, 90.0))
    )


def _nested(outline: _Outline, gap_mm: float, degrees: float) -> tuple[Lie, ...]:
    """Side by side, and with every second part raised so that slanted sides lie along each other where that
    saves width."""
    points = _corners(outline) * _unit(degrees)
    points = points - complex(points.real.min(), points.imag.min())
    width, height = float(points.real.max()), float(points.imag.max())
    grown = _grown(points, gap_mm / 2)
    rise = float(grown.imag.max() + grown.imag.min()) - height
    beside = _Beside(_chain(grown, -1), _chain(grown, 1), width, height, width + gap_mm)
    level = Lie(width, height, beside.steps_mm(0.0), degrees)
    if abs(rise) < NOISE_MM:
        return (level,)
    raised = Lie(width, height, beside.steps_mm(rise), degrees, rise)
    return (level, raised) if sum(raised.steps_mm) < sum(level.steps_mm) - NOISE_MM else (level,)


def _sides(points: Points) -> Points:
    """From each corner to the next."""
    return np.concatenate((points[1:], points[:1])) - points


def _grown(points: Points, by_mm: float) -> Points:
    """A convex outline, anticlockwise, moved outwards with mitred corners: each to where the moved sides
    meet."""
    sides = _sides(points)
    out = -1j * sides / np.abs(sides)
    both = out + np.concatenate((out[-1:], out[:-1]))
    return np.asarray(points + 2 * by_mm / both.conj())


Chain = tuple[NDArray[np.float64], NDArray[np.float64]]
"""x and y, upwards, of one side of a convex outline."""


@dataclass(frozen=True, eq=False)
class _Beside:
    """A convex part grown by half the gap with mitred corners, beside its half turn: at every height the
    right edge of one stays left of the left edge of the next. `width_mm` and `height_mm` are those of the
    part itself. Slanted sides of an equilateral triangle come to lie 2 g / sqrt(3) apart along the row when
    all stand level."""

    left: Chain
    right: Chain
    width_mm: float
    height_mm: float
    box_step_mm: float

    def steps_mm(self, rise_mm: float) -> tuple[float, float]:
        """Steps from a part to its half turn, raised by `rise_mm`, and back, at which they stay apart."""
        (left_x, left_y), (right_x, right_y) = self.left, self.right
        mirror = self.height_mm + rise_mm
        low, high = min(left_y[0], right_y[0]), max(left_y[-1], right_y[-1])
        own = np.concatenate((left_y, right_y))
        heights = np.concatenate((own, mirror - own))
        heights = np.minimum(np.maximum(heights, max(low, mirror - high)), min(high, mirror - low))
        both, ends = np.concatenate((heights, mirror - heights)), len(heights)
        right, left = np.interp(both, right_y, right_x), np.interp(both, left_y, left_x)
        to_turned = float((right[:ends] + right[ends:]).max()) - self.width_mm
        to_upright = self.width_mm - float((left[:ends] + left[ends:]).min())
        return min(to_turned, self.box_step_mm), min(to_upright, self.box_step_mm)


def _chain(outline: Points, way: int) -> Chain:
    """x and y, upwards, of the corners on the right (1) or the left (-1) of a convex outline that runs
    anticlockwise: there its sides rise, or fall."""
    rising = way * _sides(outline).imag > NOISE_MM
    corners = outline[rising | np.concatenate((rising[-1:], rising[:-1]))]
    corners = corners[np.argsort(corners.imag)]
    return corners.real, corners.imag
