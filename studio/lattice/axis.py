"""One way through a lattice, across or up: the lines at right angles to it, and the cells between or on
them."""

from dataclasses import dataclass
from functools import lru_cache
from math import cos, radians, sin, sqrt

from studio.lattice.design import LatticeKind

__all__ = ["Axis", "axes", "pitch"]


@dataclass(frozen=True, slots=True)
class Axis:
    """`steps` of `step_mm` from edge to edge. Where lines at right angles to the axis run straight, cells lie
    between them: as many addresses as steps. Where they zigzag between one step and the next, cells lie on
    the steps, the first and the last of them cut by the panel's edge: one address more."""

    steps: int
    step_mm: float
    zigzag: bool

    @property
    def addresses(self) -> int:
        return self.steps + self.zigzag

    @property
    def length_mm(self) -> float:
        return self.steps * self.step_mm

    def span(self, first: int, end: int) -> tuple[int, int]:
        """Lowest and highest step that cells of the addresses [first, end) reach."""
        if not self.zigzag:
            return first, end
        return max(first - 1, 0), min(end, self.steps)


def pitch(lattice: LatticeKind, angle_deg: float = 60.0) -> tuple[float, float]:
    """Width of what `columns` count and height of what `rows` count, in cell sides."""
    if lattice == "diamond":
        return 2 * cos(radians(angle_deg) / 2), 2 * sin(radians(angle_deg) / 2)
    return {"three-way": (sqrt(3) / 2, 0.5), "three-way turned": (0.5, sqrt(3) / 2), "square": (1.0, 1.0)}[
        lattice
    ]


@lru_cache(maxsize=4096)
def axes(
    lattice: LatticeKind, columns: int, rows: int, side_mm: float, angle_deg: float
) -> tuple[Axis, Axis]:
    """Across and up. A diamond lattice's steps are half of its boxes."""
    across_mm, up_mm = (unit * side_mm for unit in pitch(lattice, angle_deg))
    if lattice == "diamond":
        return Axis(2 * columns, across_mm / 2, True), Axis(2 * rows, up_mm / 2, True)
    turned = lattice == "three-way turned"
    return Axis(columns, across_mm, turned), Axis(rows, up_mm, lattice == "three-way")
