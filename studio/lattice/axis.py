"""One way through a lattice, across or up: the lines at right angles to it, and the cells between or on
them."""

from dataclasses import dataclass

__all__ = ["Axis"]


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
