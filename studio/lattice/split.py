"""Where the ground lattice is cut so that each section can be printed: along lattice lines, in balanced
sizes."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import accumulate, pairwise
from math import ceil, floor, hypot

from studio.lattice.axis import Axis
from studio.lattice.fit import Fit
from studio.problem import Problem, Refused, refuse_all
from studio.voice import Said, at_least, count, length, said

__all__ = ["TOLERANCE_MM", "BedLimit", "Cuts", "Lines", "even", "split", "splits"]

Lines = tuple[tuple[int, ...], tuple[int, ...]]
"""Numbers of the columns and of the rows after which there are seams."""
NO_LINES: Lines = ((), ())
FIELDS = ("design.seams_after_columns", "design.seams_after_rows")
TOLERANCE_MM = 1e-6
"""Sizes that differ by less are equal."""


@dataclass(frozen=True, slots=True)
class BedLimit:
    """What a printer takes: usable width and depth of its bed, and height."""

    width_mm: float
    depth_mm: float
    height_mm: float

    def shared(self, share: float) -> "BedLimit":
        """A share of its sides."""
        return BedLimit(share * self.width_mm, share * self.depth_mm, self.height_mm)

    def said(self) -> Said:
        return said("{} by {}", length(self.width_mm, 1), length(self.depth_mm, 1))


@dataclass(frozen=True, slots=True)
class Cuts:
    """First columns and first rows of the sections, and the ends: (0, 8, 16) are two sections of 8."""

    columns: tuple[int, ...]
    rows: tuple[int, ...]

    @property
    def sections(self) -> int:
        return (len(self.columns) - 1) * (len(self.rows) - 1)

    def seam_mm(self, fit: Fit) -> float:
        """Length of all seams. One that zigzags runs along a side in every step, so that a level one in a
        three-way lattice is 2/sqrt(3) times as long as the panel is wide; two zigzags that cross share a
        side."""
        upright, level = len(self.columns) - 2, len(self.rows) - 2
        side_mm = hypot(fit.across.step_mm, fit.up.step_mm)
        upright_mm = fit.up.steps * side_mm if fit.across.zigzag else fit.lattice_height_mm
        level_mm = fit.across.steps * side_mm if fit.up.zigzag else fit.lattice_width_mm
        shared_mm = upright * level * side_mm * (fit.across.zigzag and fit.up.zigzag)
        return upright * upright_mm + level * level_mm - shared_mm


def split(fit: Fit, beds: Iterable[BedLimit], lines: Lines = NO_LINES) -> Cuts:
    """The cuts into fewest sections, then with the shortest seams, for the bed that suits best, a section
    lying on it either way; along `lines` the ways for which there are any. Raises Refused when every bed is
    smaller than a section can be, and says by how much, or when such lines are of no use."""
    beds = tuple(beds)
    refuse_all(_useless(fit, lines))
    found = splits(fit, beds, lines)
    if not found:
        raise _too_large(fit, beds, lines) if splits(fit, beds) else _too_small(fit, beds)
    return found[0]


def splits(fit: Fit, beds: Iterable[BedLimit], lines: Lines = NO_LINES) -> tuple[Cuts, ...]:
    """The cuts for each of these beds, fewest sections first, then shortest seams; none for a bed that is
    smaller than a section can be, or than one between `lines`."""
    found = dict.fromkeys(cuts for limit in _limits(beds) if (cuts := _cut(fit, lines, *limit)))
    return tuple(sorted(found, key=lambda cuts: (cuts.sections, cuts.seam_mm(fit))))


def even(total: int, parts: int) -> tuple[int, ...]:
    """`total` in whole parts that differ by one at most: the same from either end where that can be, else the
    larger ones in the middle."""
    least, larger = divmod(total, parts)
    if parts % 2 == 0 or larger % 2:
        return _heaped(total, parts)
    half = _heaped((total - least) // 2, parts // 2) if parts > 1 else ()
    return *half, least, *reversed(half)


def _heaped(total: int, parts: int) -> tuple[int, ...]:
    """The larger ones in the middle."""
    least, larger = divmod(total, parts)
    before = (parts - larger) // 2
    return tuple(least + (before <= i < before + larger) for i in range(parts))


def _limits(beds: Iterable[BedLimit]) -> Iterator[tuple[float, float]]:
    for bed in beds:
        yield bed.width_mm, bed.depth_mm
        yield bed.depth_mm, bed.width_mm


def _cut(fit: Fit, lines: Lines, width_mm: float, height_mm: float) -> Cuts | None:
    columns, rows = _ends(fit.across, lines[0], width_mm), _ends(fit.up, lines[1], height_mm)
    return Cuts(columns, rows) if len(columns) > 1 and len(rows) > 1 else None


def _ends(axis: Axis, lines: tuple[int, ...], room_mm: float) -> tuple[int, ...]:
    """First addresses of the sections one way, and the end; no section where there is no room."""
    if not lines:
        return tuple(accumulate(_lots(axis, room_mm), initial=0))
    ends = (0, *lines, axis.addresses)
    return ends if _longest_mm(axis, lines) <= room_mm + TOLERANCE_MM else ()


def _longest_mm(axis: Axis, lines: tuple[int, ...]) -> float:
    """The longest section between these lines."""
    spans = (axis.span(*pair) for pair in pairwise((0, *lines, axis.addresses)))
    return max(end - first for first, end in spans) * axis.step_mm


def _useless(fit: Fit, lines: Lines) -> Iterator[Problem]:
    """Lines that lie outside, or too near each other for a section to hold together between them."""
    for axis, own, field, noun in zip((fit.across, fit.up), lines, FIELDS, ("column", "row"), strict=True):
        least = 1 + axis.zigzag
        near = [end for first, end in pairwise((0, *own, axis.addresses)) if end - first < least]
        if own and own[-1] >= axis.addresses:
            has = count(axis.addresses, noun)
            reason = said("there is no seam after {} {}: the panel has {}", noun, own[-1], has)
            yield Problem(field, reason, said("at most {}, or none", axis.addresses - least))
        elif own and near:
            reason = said("between two seams that are a single {} apart, a section falls apart", noun)
            yield Problem(field, reason, said("seams at least {} apart", count(least, noun)))


def _too_large(fit: Fit, beds: Sequence[BedLimit], lines: Lines) -> Refused:
    """A section between fixed seams goes on no bed."""
    problems = []
    for axis, own, field in zip((fit.across, fit.up), lines, FIELDS, strict=True):
        if own:
            bed = max(beds, key=lambda bed: max(bed.width_mm, bed.depth_mm))
            reason = said(
                "sections of up to {} between these seams go on no bed, the largest is {}",
                length(_longest_mm(axis, own), 1),
                bed.said(),
            )
            problems.append(Problem(field, reason, "more seams, or none for where we would put them"))
    return Refused(*problems)


def _lots(axis: Axis, room_mm: float) -> tuple[int, ...]:
    """Addresses in each section one way, none where a section has no room.

    Where lines zigzag, a section of r addresses is r steps long at the panel's edge, r + 1 between, because
    its cells stand out at both ends; p sections are steps - 1 + p long together, which are shared out evenly.
    Each gets two addresses or more: in a single row, cells meet only in pairs (or in points), and the section
    would fall apart, so that short ones lie at the ends.
    """
    most = floor((room_mm + TOLERANCE_MM) / axis.step_mm)
    if most < _least_steps(axis):
        return ()
    if not axis.zigzag:
        return even(axis.steps, ceil(axis.steps / most))
    if axis.steps <= most:
        return (axis.addresses,)
    parts = max(2, ceil((axis.steps - 1) / (most - 1)))
    shared = axis.steps - 1 + parts
    lengths = even(shared, parts) if shared // parts >= 3 else _heaped(shared, parts)
    return lengths[0], *(length - 1 for length in lengths[1:-1]), lengths[-1]


def _least_steps(axis: Axis) -> int:
    """Steps that the shortest possible section takes: three where lines zigzag and there is a section between
    two others."""
    if not axis.zigzag:
        return 1
    return 3 if axis.steps > 3 else min(axis.steps, 2)


def _too_small(fit: Fit, beds: tuple[BedLimit, ...]) -> Refused:
    width_mm, height_mm = (_least_steps(axis) * axis.step_mm for axis in (fit.across, fit.up))
    short_mm, long_mm = sorted((width_mm, height_mm))
    least = BedLimit(short_mm, long_mm, 0)

    def missing_mm(bed: BedLimit) -> float:
        short, long = sorted((bed.width_mm, bed.depth_mm))
        return max(least.width_mm - short, least.depth_mm - long)

    bed = min(beds, key=missing_mm)
    return Refused.because(
        "rate_book.printers",
        said(
            "the smallest section, {}, is {} larger than the usable bed of {}",
            least.said(),
            length(missing_mm(bed), 1),
            bed.said(),
        ),
        said(
            "a printer with a usable bed of at least {} by {}, or smaller cells",
            at_least(short_mm, 1),
            at_least(long_mm, 1),
        ),
    )
