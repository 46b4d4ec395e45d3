"""What should be said of an opening before a price is promised: not measured, not square, not well known."""

from collections.abc import Iterator

from studio.lattice.design import Space
from studio.lattice.opening import Lean, lean_of, sides_out_mm, strange_diagonals_mm
from studio.lattice.origin import TAPED, Uncertainty
from studio.problem import Problem
from studio.voice import at_least, at_most, length, said

__all__ = ["opening_warnings", "unmeasured_side"]

PLAY_MM = 0.5
"""Nobody measures a wall finer."""


def unmeasured_side(space: Space) -> str:
    """The key of what keeps a space from being measured."""
    return f"brief.space.{'height' if space.width_origin in TAPED else 'width'}_origin"


def opening_warnings(
    space: Space, left_over_mm: tuple[float, float], known: Uncertainty
) -> Iterator[Problem]:
    """A panel hangs straight, so what an opening leans, and what it is smaller than its figure, is taken from
    what is free on both sides together; a lean over the opening's whole height counts, however high the panel
    is. `known` is how far the rate book lets sizes be out."""
    free_mm = [2 * float(space.gap_mm) + left for left in left_over_mm]
    if not space.measured:
        remedy = "measure it before the price is promised"
        yield Problem(unmeasured_side(space), "the space is not measured yet", remedy)
    else:
        yield from _uncertain(space, free_mm, known)
    yield from _corners(space, free_mm, known)


def _uncertain(space: Space, free_mm: list[float], known: Uncertainty) -> Iterator[Problem]:
    origins = space.width_origin, space.height_origin
    for side, origin, out_mm, free in zip(
        ("width", "height"), origins, sides_out_mm(space, known), free_mm, strict=True
    ):
        if float(out_mm) > free + PLAY_MM:
            reason = "the {} is {} and may be {} out, and {} are free"
            remedy = "tape it again before anything is made, or leave a gap of {} on each side"
            yield Problem(
                f"brief.space.{side}_origin",
                said(reason, side, origin, length(out_mm), length(free, 1)),
                said(remedy, at_least(out_mm / 2)),
            )


def _corners(space: Space, free_mm: list[float], known: Uncertainty) -> Iterator[Problem]:
    lean, strange = lean_of(space), strange_diagonals_mm(space, known)
    if strange:
        reason = "the diagonals do not belong to an opening with these widths and heights"
        remedy = "measure again: both would lie about {} to {}"
        fitting = said(remedy, at_most(strange[0], 0), at_least(strange[1], 0))
        yield Problem("brief.space.diagonals_mm", reason, fitting)
    elif lean.across_mm > free_mm[0] + PLAY_MM or lean.up_mm > free_mm[1] + PLAY_MM:
        yield _leaning(space, lean, free_mm)


def _leaning(space: Space, lean: Lean, free_mm: list[float]) -> Problem:
    ways = (("sideways", lean.across_mm, free_mm[0]), ("up or down", lean.up_mm, free_mm[1]))
    way, out_mm, free = max(ways, key=lambda each: each[1] - each[2])
    plumb = way == "sideways" and space.out_of_plumb_mm is not None
    return Problem(
        f"brief.space.{'out_of_plumb_mm' if plumb else 'diagonals_mm'}",
        said("the opening leans {} {}, and {} are free", at_least(out_mm, 1), way, length(free, 1)),
        said("leave a gap of {} on each side", at_least(out_mm / 2, 1)),
    )
