"""Fill lines: straight lines to and fro across a region, found from its edges."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, cos, sin

import numpy as np
from numpy.typing import NDArray

__all__ = ["FillLines", "lines_across", "lines_between"]

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]
Complexes = NDArray[np.complex128]


RUNS_PER_OPENING = 0.7
"""Runs in which a network of strips is filled, for each opening between them: 0.57 to 0.95 where the lines of
sections were drawn (tests/making/test_real_lines.py)."""


ANGLES = np.radians((45.0, 135.0))
"""Fill lines run one way and the other in turn (common practice, no source)."""
NOISE_MM = 1e-6
"""Ways that differ by less are as long: no machine’s rounding shall choose between them."""
ALONG = 1e-3
"""Lines that make an angle of a smaller sine with an edge do not meet it."""


@dataclass(frozen=True, eq=False)
class FillLines:
    """Lines across a region, the mean of the two angles: `moves_mm` (n,) are the lines and the ways along its
    edges from a line to the next, each with its number in `counts`; they are drawn in so many `runs`, each
    of which begins with a hop."""

    moves_mm: Floats
    counts: Floats
    runs: float


def lines_across(rings: Sequence[Floats], apart_mm: float, phases: int = 1) -> FillLines:
    """Lines `apart_mm` apart across the region within closed rings (k + 1, 2), the first point repeated at
    the end, by the even-odd rule; the mean of `phases` positions of the lines over the region."""
    start, end, ring_of = _side_by_side(rings, apart_mm)
    steps = end - start
    long = np.abs(steps)
    edge, line, share = _crossings(start.imag, end.imag, apart_mm / phases)
    x = start.real[edge] + share * steps.real[edge]
    by_line = np.lexsort((x, line))
    lengths = x[by_line][1::2] - x[by_line][::2]
    ends = np.empty(len(edge), np.int64)
    ends[by_line] = np.arange(len(edge))
    along = (long.cumsum() - long)[edge] + share * long[edge]
    loop = ring_of[edge] * phases + line % phases
    around = np.bincount(ring_of, long).astype(np.float64).repeat(phases)
    gone, runs = _walked(*_neighbours(ends, along, loop, around))
    one = 1 / (phases * len(ANGLES))
    moves = np.concatenate((lengths, gone))
    return FillLines(moves, np.full(len(moves), one), runs * one)


def _side_by_side(rings: Sequence[Floats], apart_mm: float) -> tuple[Complexes, Complexes, Ints]:
    """Begin and end of each edge (x + iy) and its ring, with the rings turned so that lines of each angle are
    level; one angle's above the other's, by whole spacings, so that no line crosses both."""
    edges = np.array([len(ring) - 1 for ring in rings])
    points = np.concatenate([ring[:-1] for ring in rings])
    place = points[:, 0] + 1j * points[:, 1]
    after = np.arange(1, len(place) + 1)
    after[edges.cumsum() - 1] -= edges  # the very same point ends an edge and begins the next
    start, base = [], 0.0
    for angle in ANGLES.tolist():
        own = place * complex(cos(angle), -sin(angle))
        low, high = float(own.imag.min()), float(own.imag.max())
        start.append(own + 1j * (base - low))
        base += apart_mm * ceil((high - low) / apart_mm + 1)
    ring_of = np.arange(len(ANGLES) * len(rings)).repeat(np.concatenate([edges] * len(ANGLES)))
    return np.concatenate(start), np.concatenate([own[after] for own in start]), ring_of


def lines_between(
    steps: Floats, counts: Floats, inside_mm2: float, apart_mm: float, openings: int
) -> FillLines:
    """Lines across a network of strips whose openings are counted, from the edges of the strips alone: steps
    (n, 2) mm of edges, each with its number.

    An edge that makes an angle with the lines is met by its length times the sine over the spacing; every
    line has two ends, and together they cover the inside. Across strips of one width a line is 1 / sine as
    long as the strip is wide (plane geometry)."""
    long = np.hypot(*steps.T)
    across = np.abs(np.outer(-np.sin(ANGLES), steps[:, 0]) + np.outer(np.cos(ANGLES), steps[:, 1]))
    sine = (across / long).ravel()
    met = sine > ALONG
    lines = (counts * across / apart_mm / 2 / len(ANGLES)).ravel()[met]
    width = 2 * inside_mm2 / float(counts @ long)
    runs = min(1 + RUNS_PER_OPENING * openings, float(lines.sum()))
    ways = lines * (1 - runs / lines.sum())
    moves = np.concatenate((width / sine[met], apart_mm / sine[met]))
    return FillLines(moves, np.concatenate((lines, ways)), runs)


def _crossings(start: Floats, end: Floats, apart_mm: float) -> tuple[Ints, Ints, Floats]:
    """Where edges meet lines: the edge, the line, and the share of the edge before it. The first line is half
    a spacing above the lowest point."""
    low = start.min()
    begins, ends = (start - low) / apart_mm - 0.5, (end - low) / apart_mm - 0.5
    first = np.ceil(np.minimum(begins, ends)).astype(np.int64)
    counts = np.ceil(np.maximum(begins, ends)).astype(np.int64) - first
    edge = np.arange(len(start)).repeat(counts)
    line = np.arange(len(edge)) + (first - counts.cumsum() + counts).repeat(counts)
    return edge, line, (line - begins[edge]) / (ends - begins)[edge]


def _neighbours(
    ends: Ints, along: Floats, loop: Ints, around: Floats
) -> tuple[list[int], list[int], list[float]]:
    """For each end of a line: the end after it on its loop, the one before, and the way to the one after;
    `around` is the length of each loop."""
    order = np.lexsort((along, loop))
    here, along, loop = ends[order], along[order], loop[order]
    last = np.ones(len(loop), bool)
    np.not_equal(loop[1:], loop[:-1], out=last[:-1])
    first = np.concatenate((last[-1:], last[:-1]))
    there, way = np.concatenate((here[1:], here[:1])), np.concatenate((along[1:], along[:1])) - along
    there[last] = here[first]
    way[last] = along[first] - along[last] + around[loop[last]]
    after, before, ways = np.empty_like(here), np.empty_like(here), np.empty_like(along)
    after[here], before[there], ways[here] = there, here, way
    return after.tolist(), before.tolist(), ways.tolist()


def _walked(after: list[int], before: list[int], way: list[float]) -> tuple[list[float], int]:
    """To and fro: from a line's end along the edge to the nearer neighbouring end of a line that is not drawn
    yet, ahead where both are as near; where there is none, a new run begins. The ways gone, and how many
    runs."""
    drawn = bytearray(len(after) // 2)
    gone, runs = [], 0
    for first in range(len(drawn)):
        if drawn[first]:
            continue
        runs += 1
        line, end = first, 2 * first + 1
        while True:
            drawn[line] = 1
            ahead, behind = after[end], before[end]
            open_ahead, open_behind = not drawn[ahead >> 1], not drawn[behind >> 1]
            if open_ahead and not (open_behind and way[behind] < way[end] - NOISE_MM):
                gone.append(way[end])
                end = ahead ^ 1
            elif open_behind:
                gone.append(way[behind])
                end = behind ^ 1
            else:
                break
            line = end >> 1
    return gone, runs
