"""How well an opening is known: how far its sizes may be out, and whether it is square."""

from dataclasses import dataclass
from decimal import Decimal
from math import hypot, sqrt
from typing import assert_never

from studio.lattice.design import Space
from studio.lattice.origin import Origin, Uncertainty

__all__ = ["Lean", "lean_of", "sides_out_mm", "strange_diagonals_mm", "worst_share"]


@dataclass(frozen=True, slots=True)
class Lean:
    """How far an opening is out of square: its upright middle line sideways over the height (`across_mm`),
    or its level one up or down over the width (`up_mm`). Diagonals tell of the corner alone, so either may
    be the one that is out: both are given."""

    across_mm: float
    up_mm: float


def worst_share(space: Space, known: Uncertainty) -> Decimal:
    """The larger of the two sides' uncertainties, as a share of that side."""
    return max(
        _share(space, known, space.width_origin, min(space.widths_mm)),
        _share(space, known, space.height_origin, min(space.heights_mm)),
    )


def sides_out_mm(space: Space, known: Uncertainty) -> tuple[Decimal, Decimal]:
    """How far the smallest width and the smallest height may be out, either way."""
    width, height = min(space.widths_mm), min(space.heights_mm)
    return (
        width * _share(space, known, space.width_origin, width),
        height * _share(space, known, space.height_origin, height),
    )


def _share(space: Space, known: Uncertainty, origin: Origin, side_mm: Decimal) -> Decimal:
    """A photograph of which nobody says how well it measures is worth no more than what is said."""
    match origin:
        case "photograph" if space.photograph_mm is not None:
            return space.photograph_mm / side_mm
        case "said" | "photograph":
            return known.said_percent / 100
        case "paced":
            return known.paced_percent / 100
        case "taped by the client":
            return known.taped_by_client_mm / side_mm
        case "taped by us":
            return known.taped_by_us_mm / side_mm
        case _:
            assert_never(origin)


def lean_of(space: Space) -> Lean:
    """From the diagonals d and e, and the plumb where it was taken.

    With m from the middle of the left side to that of the right one, and n from that of the bottom to that of
    the top, the diagonals of any quadrilateral are m + n and m - n, so d² - e² = 4 m·n (plain vectors): n
    leans |d² - e²| / 4m along m, and m leans |d² - e²| / 4n along n. The smallest width and height stand for
    the middle ones. Nothing is known of an opening without diagonals and plumb: 0."""
    across = up = 0.0
    if space.diagonals_mm:
        first, second = map(float, space.diagonals_mm)
        product = abs(first * first - second * second) / 4
        across, up = product / float(min(space.widths_mm)), product / float(min(space.heights_mm))
    if space.out_of_plumb_mm is not None:
        across = float(space.out_of_plumb_mm)
    return Lean(across, up)


def strange_diagonals_mm(space: Space, known: Uncertainty) -> tuple[float, float] | None:
    """Between what the diagonals' root mean square must lie, where it does not: they cannot be those of an
    opening with these widths and heights.

    In any quadrilateral d² + e² = 2(m² + n²) (as above), and m, n are at most the largest width and height.
    That they are not much less than the smallest ones, and that all sizes may be out twice by their
    uncertainty, is own judgement."""
    if not space.diagonals_mm:
        return None
    first, second = map(float, space.diagonals_mm)
    play = 2 * float(worst_share(space, known))
    least = (1 - play) * hypot(min(space.widths_mm), min(space.heights_mm))
    most = (1 + play) * hypot(max(space.widths_mm), max(space.heights_mm))
    return None if least <= sqrt((first * first + second * second) / 2) <= most else (least, most)
