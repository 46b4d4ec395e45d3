"""How far a whole panel may be off its size: errors that go one way add up, those that go either way add
like steps of a random walk."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from math import ceil, hypot, sqrt
from typing import Annotated

from pydantic import Field

from studio.document import document
from studio.lattice.fit import Fit
from studio.lattice.sections import Section
from studio.voice import PLAIN

__all__ = ["SPREADS", "SizeError", "Tolerances", "WayError", "covering_gap_mm", "size_error"]

SPREADS = 2
"""Standard deviations that the random part allows for: of normally distributed errors 97.7 % are smaller."""
GAP_STEP_MM = 0.5

Length = Annotated[Decimal, Field(ge=0, le=5, decimal_places=3)]
Share = Annotated[Decimal, Field(ge=0, le=5, decimal_places=3)]


@document
class Tolerances:
    """What the studio knows about its printers and joints. The defaults are examples until it has measured.

    `part_spread_mm` and `seam_spread_mm` are standard deviations of one printed part's size and of one glue
    gap (examples). `glue_gap_mm` is what a glued seam adds (common practice, no source). The printers' scale
    may be out by `scale_percent` (example), and `shrinkage_left_percent` is left when shrinkage has been
    corrected (example). `expansion_per_million_k` is the linear expansion per kelvin, of PLA about 68 (from
    memory), and `temperature_swing_k` how much warmer the panel gets than the day on which it is fitted
    (example)."""

    part_spread_mm: Length = Decimal("0.1")
    seam_spread_mm: Length = Decimal("0.05")
    glue_gap_mm: Length = Decimal("0.05")
    scale_percent: Share = Decimal("0.05")
    shrinkage_left_percent: Share = Decimal("0.03")
    expansion_per_million_k: Annotated[Decimal, Field(ge=0, le=500, decimal_places=1)] = Decimal(68)
    temperature_swing_k: Annotated[Decimal, Field(ge=0, le=60, decimal_places=1)] = Decimal(10)


@dataclass(frozen=True, slots=True)
class WayError:
    """Across or up, in mm: the sum of the errors that lean one way, and SPREADS standard deviations of those
    that go either way. `workings` say in plain words where each comes from."""

    systematic_mm: float
    random_mm: float
    workings: tuple[str, ...]

    @property
    def total_mm(self) -> float:
        return self.systematic_mm + self.random_mm


@dataclass(frozen=True, slots=True)
class SizeError:
    """By how much the panel may come out larger than its fit says, across and up."""

    across: WayError
    up: WayError

    @property
    def across_mm(self) -> float:
        return self.across.total_mm

    @property
    def up_mm(self) -> float:
        return self.up.total_mm


def size_error(fit: Fit, sections: Sequence[Section], tolerances: Tolerances) -> SizeError:
    """Expected size error of the whole panel, made of these sections and its edging."""
    edgings = 2 if fit.width_mm - fit.lattice_width_mm > 1 else 0  # the narrowest edging is 1 mm a side
    columns, rows = {section.column for section in sections}, {section.row for section in sections}
    return SizeError(
        _way(fit.width_mm, len(columns), edgings, tolerances),
        _way(fit.height_mm, len(rows), edgings, tolerances),
    )


def covering_gap_mm(error_mm: float) -> float:
    """The gap a side, in steps of 0.5 mm, that covers an error even where it ends on one side."""
    return ceil(round(error_mm / GAP_STEP_MM, 9)) * GAP_STEP_MM


def _way(size_mm: float, sections: int, edgings: int, tolerances: Tolerances) -> WayError:
    parts = sections + edgings
    one_way = _one_way(size_mm, parts - 1, tolerances)
    either_way = _either_way(parts, tolerances)
    systematic_mm = sum(one_way.values())
    random_mm = hypot(*either_way.values())
    return WayError(
        systematic_mm,
        random_mm,
        (
            *(f"{text}: {error_mm:.2f} mm" for text, error_mm in {**one_way, **either_way}.items()),
            f"{systematic_mm:.2f} mm one way, added, and {random_mm:.2f} mm either way, the root of the sum "
            f"of squares: {systematic_mm + random_mm:.2f} mm",
        ),
    )


def _one_way(size_mm: float, seams: int, tolerances: Tolerances) -> dict[str, float]:
    """Errors that lean one way, by what they are."""
    gap, scale, shrinkage = (
        tolerances.glue_gap_mm,
        tolerances.scale_percent,
        tolerances.shrinkage_left_percent,
    )
    swing, expansion = tolerances.temperature_swing_k, tolerances.expansion_per_million_k
    size = f"{size_mm:.1f} mm"
    return {
        f"{PLAIN.count(seams, 'glue gap')} of {_plain(gap)} mm": seams * float(gap),
        f"the printers' scale, {_plain(scale)} % of {size}": size_mm * float(scale) / 100,
        f"shrinkage left over, {_plain(shrinkage)} % of {size}": size_mm * float(shrinkage) / 100,
        f"{_plain(swing)} K warmer, {_plain(expansion)} millionths of {size} per K": (
            size_mm * float(expansion * swing) / 1e6
        ),
    }


def _either_way(parts: int, tolerances: Tolerances) -> dict[str, float]:
    """Errors that go either way, of n alike √n times that of one, by what they are."""
    return {
        f"{PLAIN.count(count, noun)}, each within {_plain(SPREADS * spread)} mm, × √{count}": (
            SPREADS * float(spread) * sqrt(count)
        )
        for count, noun, spread in (
            (parts, "part", tolerances.part_spread_mm),
            (parts - 1, "glue gap", tolerances.seam_spread_mm),
        )
    }


def _plain(value: Decimal) -> str:
    """Without exponent and trailing zeros."""
    return f"{value.normalize():f}"
