"""Every fit that an opening may turn out to have, while its sizes are known within bounds only."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from decimal import Decimal

import numpy as np
from numpy.typing import NDArray

from studio.lattice.design import Design, Space
from studio.lattice.fit import Integers, Way, best_fit, hundredths, is_printable, sides_of, ways_of
from studio.lattice.refit import with_seams_of

__all__ = ["FitsWithin", "fits_within"]

LEAST_MM, LARGEST_MM = Decimal(50), Decimal(20_000)
"""Of an opening."""
MOST_PIECES = 250
"""Each way; about a second's work."""
ROUNDING = 1e-12

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]
Counted = tuple[int, int, int]


@dataclass(frozen=True, slots=True)
class FitsWithin:
    """`designs` are the design held to each fit, in no order; `largest` has room for all of them. `without`
    is an opening within the bounds that has no fit, None where each has one. Where `every` is false there
    were too many, and these are the fits of openings all over the bounds, their ends among them."""

    designs: tuple[Design, ...]
    largest: Space
    without: Space | None
    every: bool


def fits_within(design: Design, space: Space, out_mm: tuple[Decimal, Decimal]) -> FitsWithin:
    """What `best_fit` finds for any opening whose smallest width and height are those of the space, give or
    take `out_mm`.

    With b the width and d the height of the panel that a side s gives, an opening w by h leaves
    max(1 - b/w, 1 - d/h), so the best side is the one whose smaller one of b/w and d/h is largest: which one,
    depends on w/h alone, as long as no side gets another count. The bounds are cut where one does. Within
    such a piece two sides change places at one ratio (`_winners`), so each wins between two ratios, or never.
    """
    sides = sides_of(design)
    bounds = [_bounds(space.widths_mm, out_mm[0]), _bounds(space.heights_mm, out_mm[1])]
    largest = _sized(space, bounds[0][1], bounds[1][1])
    while True:
        found, without, every = _counted(design, space, bounds, sides)
        bad = [side for side in {side for *_, side in found} if not is_printable(design, side / 100)]
        if not bad:
            designs = tuple(_held(design, largest, *counted) for counted in sorted(found))
            return FitsWithin(designs, largest, without and _sized(space, *without), every)
        sides = sides[~np.isin(sides, bad)]


def _bounds(lengths_mm: tuple[Decimal, ...], out_mm: Decimal) -> tuple[Decimal, Decimal]:
    length = min(lengths_mm)
    return max(LEAST_MM, length - out_mm), max(LEAST_MM, min(LARGEST_MM, length + out_mm))


def _sized(space: Space, width_mm: Decimal, height_mm: Decimal) -> Space:
    hundredth = Decimal("0.01")
    return replace(
        space, widths_mm=(width_mm.quantize(hundredth),), heights_mm=(height_mm.quantize(hundredth),)
    )


def _held(design: Design, largest: Space, columns: int, rows: int, side: int) -> Design:
    side_mm = Decimal(side) / 100
    held = replace(design, cell_side_mm=side_mm, side_play_percent=Decimal(0), columns=columns, rows=rows)
    return with_seams_of(held, best_fit(held, largest)) if any(design.seam_lines) else held


@dataclass(frozen=True, eq=False)
class _Strips:
    """One way, cut where a side gets another count: of each strip the counts by side, what the panel then
    measures (0 where there is none), and the opening less its gaps at either end. In hundredths."""

    counts: Integers
    panel: Floats
    first: Integers
    last: Integers

    def some(self, most: int) -> "_Strips":
        """Evenly spread, both ends among them."""
        at = np.unique(np.linspace(0, len(self.first) - 1, most).astype(int))
        return _Strips(self.counts[at], self.panel[at], self.first[at], self.last[at])


def _counted(
    design: Design, space: Space, bounds: list[tuple[Decimal, Decimal]], sides: Integers
) -> tuple[set[Counted], tuple[Decimal, Decimal] | None, bool]:
    """Columns, rows and side of each fit; an opening without one; whether these are all."""
    ends = [ways_of(design, _sized(space, *sizes), sides) for sizes in zip(*bounds, strict=True)]
    edging = 2 * hundredths(design.edging_width_mm)
    across, up = (_strips(low, high.room, sides, edging) for low, high in zip(*ends, strict=True))
    every = len(across.first) * len(up.first) <= MOST_PIECES**2
    if not every:
        across, up = across.some(MOST_PIECES // 5), up.some(MOST_PIECES // 5)
    found: set[Counted] = set()
    without: tuple[Decimal, Decimal] | None = None
    far = np.lexsort((sides, np.abs(sides - hundredths(design.cell_side_mm)))).argsort()
    gaps = 2 * hundredths(space.gap_mm)
    for place in range(len(across.first)):
        there = (across.panel[place] > 0) & (up.panel > 0)
        if without is None and not there.any(axis=1).all():
            lowest = int(up.first[int(np.argmin(there.any(axis=1)))])
            without = Decimal(int(across.first[place]) + gaps) / 100, Decimal(lowest + gaps) / 100
        for high, side in _best(across, place, up, there, far):
            found.add((int(across.counts[place, side]), int(up.counts[high, side]), int(sides[side])))
    return found, without, every


def _strips(low: Way, high_room: int, sides: Integers, edging: int) -> _Strips:
    rooms = np.array(sorted({low.room, *_turns(low, high_room, sides)}), dtype=np.int64)
    counts = low.taken_in(rooms[:, None], sides)
    new = np.append(True, (counts[1:] != counts[:-1]).any(axis=1))
    first, counts = rooms[new], counts[new]
    last = np.append(first[1:] - 1, high_room)
    panel = np.where(counts > 0, counts * sides * low.unit + edging, 0.0)
    return _Strips(counts, panel, first + edging, last + edging)


def _turns(low: Way, high_room: int, sides: Integers) -> Iterator[int]:
    """The rooms at which one more cell of some side is taken, or one too many."""
    most = int(high_room / (int(sides.min(initial=hundredths(LARGEST_MM))) * low.unit)) + 1
    cells = (
        np.arange(1, min(most, low.limit + 1) + 1)[:, None]
        if low.wanted is None
        else np.array([[low.wanted]])
    )
    rooms = low.least_room(cells[:, None], sides)
    yield from np.unique(rooms[(rooms > low.room) & (rooms <= high_room)]).tolist()


def _best(across: _Strips, place: int, up: _Strips, there: Flags, far: Integers) -> Iterator[tuple[int, int]]:
    """Of one strip across: each strip up with each side that is best somewhere in both. What is narrower and
    lower than another never is, so only the rest (`near_top`) is compared, each with each."""
    b = across.panel[place]
    order = np.argsort(-b, kind="stable")
    d = np.where(there, up.panel, 0.0)[:, order]
    highest = np.maximum.accumulate(np.column_stack([np.zeros(len(d)), d]), axis=1)
    wider = np.searchsorted(-b[order], -b[order])  # how many are
    near_top = there[:, order] & (d >= highest[:, wider])
    kept = np.argsort(~near_top, axis=1, kind="stable")[:, : max(1, int(near_top.sum(axis=1).max(initial=0)))]
    chosen, real = order[kept], np.take_along_axis(near_top, kept, axis=1)
    shape = (across.first[place] / up.last, across.last[place] / up.first)
    best = real & _winners(b[chosen], np.take_along_axis(d, kept, axis=1), real, far[chosen], shape)
    yield from ((high, int(chosen[high, at])) for high, at in np.argwhere(best).tolist())


def _winners(b: Floats, d: Floats, there: Flags, far: Integers, shape: tuple[Floats, Floats]) -> Flags:
    """Which sides are best somewhere, one row for each strip up; `shape` are its least and largest r.

    With r the opening's width over its height, side i is at least as good as j where
    min(b_i, d_i r) >= min(b_j, d_j r): with b_i > b_j and d_i < d_j from r = b_j/d_i on, the other way round
    up to r = b_i/d_j; always with both larger, never with both smaller. Where one is equal they are as good
    as each other on one side of that ratio, and the one nearer to the wanted side wins there."""
    near = far[:, :, None] < far[:, None, :]
    wider, as_wide = b[:, :, None] > b[:, None, :], b[:, :, None] == b[:, None, :]
    higher, as_high = d[:, :, None] > d[:, None, :], d[:, :, None] == d[:, None, :]
    narrower, lower = ~wider & ~as_wide, ~higher & ~as_high
    from_on = (wider & lower) | (wider & as_high & ~near) | (as_wide & lower & near)
    up_to = (narrower & higher) | (as_wide & higher & ~near) | (narrower & as_high & near)
    never = (narrower & lower) | (~near & ((as_wide & lower) | (narrower & as_high) | (as_wide & as_high)))
    never &= ~np.eye(b.shape[1], dtype=bool)
    other = there[:, None, :]
    with np.errstate(divide="ignore", invalid="ignore"):
        low = np.where(from_on & other, b[:, None, :] / d[:, :, None], 0.0).max(axis=2)
        high = np.where(up_to & other, b[:, :, None] / d[:, None, :], np.inf).min(axis=2)
    low, high = np.maximum(low, shape[0][:, None]), np.minimum(high, shape[1][:, None])
    return np.asarray(~(never & other).any(axis=2) & (low <= high * (1 + ROUNDING)))
