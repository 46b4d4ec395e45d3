"""Fill lines: straight lines to and fro across a region, found from its edges."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, cos, sin

import numpy as np
from numpy.typing import NDArray

__all__ = ["FillLines", "lines_across", "lines_between"]

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]


RUNS_PER_OPENING = 0.7
"""Runs in which a network of strips is filled, for each opening between them: 0.57 to 0.95 where the lines of
sections were drawn (tests/making/test_real_lines.py)."""


ANGLES = np.radians((45.0, 135.0))
"""Fill lines run one way and the other in turn (common practice, no source)."""
ALONG = 1e-3
"""Lines that make an angle of a smaller sine with an edge do not meet it."""


@dataclass(frozen=True, eq=False)
class FillLines:
    """Lines across a region, the mean of the two angles: `lengths_mm` (n,), and `ways_mm` (m,) along its
    edges from a line to the next, each with its number; and in how many runs they are drawn, each of which
    begins with a hop."""

    lengths_mm: Floats
    length_counts: Floats
    ways_mm: Floats
    way_counts: Floats
    runs: float


def lines_across(rings: Sequence[Floats], apart_mm: float, phases: int = 1) -> FillLines:
    """Lines `apart_mm` apart across the region within closed rings (k + 1, 2), the first point repeated at
    the end, by the even-odd rule; the mean of `phases` positions of the lines over the region."""
    start, end, ring_of = _side_by_side(rings, apart_mm)
    long = np.hypot(*(end - start).T)
    edge, line, share = _crossings(start[:, 1], end[:, 1], apart_mm / phases)
    x = start[edge, 0] + share * (end - start)[edge, 0]
    by_line = np.lexsort((x, line))
    lengths = x[by_line][1::2] - x[by_line][::2]
    ends = np.empty(len(edge), np.int64)
    ends[by_line] = np.arange(len(edge))
    along = (np.cumsum(long) - long)[edge] + share * long[edge]
    loop = ring_of[edge] * phases + line % phases
    around = np.repeat(np.bincount(ring_of, long), phases).astype(np.float64)
    gone, runs = _walked(*_neighbours(ends, along, loop, around))
    one = 1 / (phases * len(ANGLES))
    ways = np.array(gone)
    return FillLines(lengths, np.full(len(lengths), one), ways, np.full(len(ways), one), runs * one)


def _side_by_side(rings: Sequence[Floats], apart_mm: float) -> tuple[Floats, Floats, Ints]:
    """Begin and end of each edge and its ring, with the rings turned so that lines of each angle are level;
    one angle's above the other's, by whole spacings, so that no line crosses both."""
    points, edges = np.concatenate(rings), np.array([len(ring) - 1 for ring in rings])
    begins = np.delete(np.arange(len(points)), np.cumsum(edges + 1) - 1)
    turned = []
    base = 0.0
    for angle in ANGLES.tolist():
        cosine, sine = cos(angle), sin(angle)
        own = points @ np.array([[cosine, -sine], [sine, cosine]])
        low, high = float(own[:, 1].min()), float(own[:, 1].max())
        own[:, 1] += base - low
        turned.append(own)
        base += apart_mm * ceil((high - low) / apart_mm + 1)
    ring_of = np.repeat(np.arange(len(ANGLES) * len(rings)), np.tile(edges, len(ANGLES)))
    start, end = (np.concatenate([own[at] for own in turned]) for at in (begins, begins + 1))
    return start, end, ring_of


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
    return FillLines(width / sine[met], lines, apart_mm / sine[met], ways, runs)


def _crossings(start: Floats, end: Floats, apart_mm: float) -> tuple[Ints, Ints, Floats]:
    """Where edges meet lines: the edge, the line, and the share of the edge before it. The first line is half
    a spacing above the lowest point."""
    low = start.min()
    begins, ends = (start - low) / apart_mm - 0.5, (end - low) / apart_mm - 0.5
    first = np.ceil(np.minimum(begins, ends)).astype(np.int64)
    counts = np.ceil(np.maximum(begins, ends)).astype(np.int64) - first
    edge = np.repeat(np.arange(len(start)), counts)
    line = np.arange(len(edge)) + np.repeat(first - np.cumsum(counts) + counts, counts)
    return edge, line, (line - begins[edge]) / (ends - begins)[edge]


def _neighbours(
    ends: Ints, along: Floats, loop: Ints, around: Floats
) -> tuple[list[int], list[int], list[float]]:
    """For each end of a line: the end after it on its loop, the one before, and the way to the one after;
    `around` is the length of each loop."""
    order = np.lexsort((along, loop))
    here, along, loop = ends[order], along[order], loop[order]
    last = np.append(loop[1:] != loop[:-1], True)[: len(loop)]
    first = np.concatenate((last[-1:], last[:-1]))
    there, way = np.concatenate((here[1:], here[:1])), np.concatenate((along[1:], along[:1])) - along
    there[last] = here[first]
    way[last] = along[first] - along[last] + around[loop[last]]
    after, before, ways = np.empty_like(here), np.empty_like(here), np.empty_like(along)
    after[here], before[there], ways[here] = there, here, way
    return after.tolist(), before.tolist(), ways.tolist()


def _walked(after: list[int], before: list[int], way: list[float]) -> tuple[list[float], int]:
    """To and fro: from a line's end along the edge to the nearer neighbouring end of a line that is not drawn
    yet; where there is none, a new run begins. The ways gone, and how many runs."""
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
            if open_ahead and not (open_behind and way[behind] < way[end]):
                gone.append(way[end])
                end = ahead ^ 1
            elif open_behind:
                gone.append(way[behind])
                end = behind ^ 1
            else:
                break
            line = end >> 1
    return gone, runs
