"""Scales of technical drawings: ISO 5455, clauses 3 and 5.1."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import count

__all__ = ["Scale", "largest_scale", "listed_scales"]


@dataclass(frozen=True, slots=True)
class Scale:
    """`drawn` mm on paper stand for `real` mm of the thing."""

    drawn: int
    real: int

    def __str__(self) -> str:
        return f"{self.drawn}:{self.real}"

    def paper_mm(self, real_mm: float) -> float:
        return real_mm * self.drawn / self.real


def largest_scale(width_mm: float, height_mm: float, field_mm: tuple[float, float]) -> Scale:
    """The largest listed scale at which width x height fits the field (width, height on paper, both above
    0).

    Beyond 1:10 000 the list goes on by powers of ten, as the standard allows, so that there is always an
    answer.
    """
    if min(field_mm) <= 0:
        raise ValueError(f"nothing can be drawn in a field of {field_mm[0]} by {field_mm[1]} mm")
    return next(
        scale
        for scale in listed_scales()
        if scale.paper_mm(width_mm) <= field_mm[0] and scale.paper_mm(height_mm) <= field_mm[1]
    )


def listed_scales() -> Iterator[Scale]:
    """From 50:1 downwards, without end."""
    for drawn in (50, 20, 10, 5, 2, 1):
        yield Scale(drawn, 1)
    for power in count():
        for real in (2, 5, 10):
            yield Scale(1, real * 10**power)
