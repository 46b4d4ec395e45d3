"""How a lattice of whole cells fits an opening."""

from dataclasses import dataclass
from typing import Literal

from studio.lattice.design import LatticeKind

__all__ = ["Fit", "Symmetry"]

Symmetry = Literal["both", "left-right", "top-bottom", "half-turn"]


@dataclass(frozen=True, slots=True)
class Fit:
    """An option's size. Sizes run between strip centre lines (`lattice_width_mm`, `lattice_height_mm`); the panel adds
    the edging outside them on every side (`width_mm`, `height_mm`). `left_over_mm` is what the opening less its gaps
    leaves, across and up; never negative. `rows` counts half sides in a three-way lattice."""

    lattice: LatticeKind
    columns: int
    rows: int
    cell_side_mm: float
    lattice_width_mm: float
    lattice_height_mm: float
    width_mm: float
    height_mm: float
    left_over_mm: tuple[float, float]
    symmetry: Symmetry
