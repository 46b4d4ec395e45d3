"""The panel that fits with cells of one side, and the next smaller and larger ones."""

from dataclasses import dataclass, replace
from decimal import ROUND_UP, Decimal

from studio.lattice.design import Design, Space
from studio.lattice.fit import GUARD, MOST_COLUMNS, MOST_ROWS, Fit, fits, room_for

__all__ = ["Nearest", "NearestSize", "NearestWay", "nearest"]

HUNDREDTH = Decimal("0.01")


@dataclass(frozen=True, slots=True)
class NearestSize:
    """A count of columns or rows, the panel's size with its edging, and the least opening for it, gaps
    included, rounded up to 0.01 mm."""

    count: int
    size_mm: float
    opening_mm: Decimal


@dataclass(frozen=True, slots=True)
class NearestWay:
    """Across or up: the most that fits, one less and one more; None where it would be too few for a whole
    cell or more than a panel may have."""

    fits: NearestSize | None
    smaller: NearestSize | None
    larger: NearestSize | None


@dataclass(frozen=True, slots=True)
class Nearest:
    """`fit` is the largest panel with cells of this side; None when no whole cell fits. Openings are those
    of the space at its narrowest and lowest."""

    cell_side_mm: Decimal
    opening_mm: tuple[Decimal, Decimal]
    fit: Fit | None
    across: NearestWay
    up: NearestWay


def nearest(design: Design, space: Space) -> Nearest:
    """For the design's own cell side, kept as it is, whatever counts and play the design asks for."""
    kept = replace(design, side_play_percent=Decimal(0), columns=None, rows=None)
    room = room_for(kept, space)
    counts = min(room[0], MOST_COLUMNS), min(room[1], MOST_ROWS)
    (wide, high), least = design.kind.pitch(float(design.angle_deg)), design.kind.least
    return Nearest(
        cell_side_mm=design.cell_side_mm,
        opening_mm=(min(space.widths_mm), min(space.heights_mm)),
        fit=next(iter(fits(replace(kept, columns=counts[0], rows=counts[1]), space)), None),
        across=_way(counts[0], (least[0], MOST_COLUMNS), wide, design, space),
        up=_way(counts[1], (least[1], MOST_ROWS), high, design, space),
    )


def _way(count: int, limits: tuple[int, int], unit: float, design: Design, space: Space) -> NearestWay:
    least, most = limits

    def size(number: int) -> NearestSize | None:
        if not least <= number <= most:
            return None
        size_mm = number * _exactly(unit) * design.cell_side_mm + 2 * design.edging_width_mm
        opening = (size_mm + 2 * space.gap_mm).quantize(HUNDREDTH, ROUND_UP)
        return NearestSize(number, float(size_mm), opening)

    return NearestWay(size(count), size(count - 1), size(max(count + 1, least)))


def _exactly(unit: float) -> Decimal:
    """Whole and half cell sides as such, so that no noise of floats makes an opening larger; roots as they
    are."""
    halves = round(2 * unit)
    return Decimal(halves) / 2 if abs(2 * unit - halves) < GUARD else Decimal(unit)
