"""Patterns for the three-way lattice, for a cell of side 1 with its upright side on the left (see cell.py, facing 0).

Half cells have strokes of their own, laid out from the half's incentre: a whole pattern cut in two would fall apart.
"""

from math import sqrt

from studio.lattice.pattern import Arc, Fill, Line, Pattern

__all__ = ["THREE_WAY"]

Point = tuple[float, float]

LEFT, RIGHT = -sqrt(3) / 4, sqrt(3) / 4
LOWER, APEX, UPPER = (LEFT, -0.5), (RIGHT, 0.0), (LEFT, 0.5)
CORNERS = (LOWER, APEX, UPPER)
CENTROID = (LEFT + sqrt(3) / 6, 0.0)
MIDPOINTS = ((0.0, -0.25), (0.0, 0.25), (LEFT, 0.0))

FOOT = (LEFT, 0.0)
"""Right-angled corner of the half cell."""
HALF_CORNERS = (FOOT, APEX, UPPER)
HALF_RADIUS = (sqrt(3) - 1) / 4
INCENTRE = (LEFT + HALF_RADIUS, HALF_RADIUS)


def _rays(centre: Point, ends: tuple[Point, ...]) -> tuple[Line, ...]:
    return tuple(Line((centre, end)) for end in ends)


THREE_WAY = (
    Pattern(
        slug="hemp-leaf",
        name="Hemp leaf",
        shows="Asanoha: leaves from the middle of each cell to its corners; six cells make a star.",
        lattice="three-way",
        strokes={"whole": _rays(CENTROID, CORNERS), "half": _rays(INCENTRE, HALF_CORNERS)},
    ),
)
