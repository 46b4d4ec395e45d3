"""Patterns for the diamond lattice, for every angle: x in halves of the cell's level diagonal, y in halves
of its upright one, radii in radii of the inscribed circle (pattern.py). Halves and quarters keep the whole
cell's origin, and have strokes of their own. Names are our own. From plain to dense."""

from functools import partial

from studio.lattice.kinds.patterns.layout import (
    Point,
    Points,
    closed,
    crossing_bars,
    drawn_in,
    middles,
    rays,
    ring,
)  # fmt: skip
from studio.lattice.pattern import Line, Pattern

__all__ = ["PATTERNS"]

MIDDLE = (0.0, 0.0)
LEFT, LOWER, RIGHT, UPPER = CORNERS = (-1.0, 0.0), (0.0, -1.0), (1.0, 0.0), (0.0, 1.0)
LEVEL_CORNERS = (LEFT, RIGHT, UPPER)
"""Of the half cell cut level."""
UPRIGHT_CORNERS = (LOWER, RIGHT, UPPER)
QUARTER_CORNERS = (MIDDLE, RIGHT, UPPER)
LEVEL_MIDDLE, UPRIGHT_MIDDLE, QUARTER_MIDDLE = (0.0, 1 / 3), (1 / 3, 0.0), (1 / 3, 1 / 3)
"""Centroids."""


def _nested(centre: Point, corners: Points, share: float) -> tuple[Line, ...]:
    """The cell drawn in, and ties to the middles of the sides."""
    inner = drawn_in(centre, corners, share)
    ends = zip(middles(inner), middles(corners), strict=True)
    return closed(inner), *(Line(points=pair) for pair in ends)


diamond = partial(Pattern, lattice="diamond")
PATTERNS = (
    diamond(
        slug="crossed-diamond",
        name="Crossed diamond",
        shows="Bars from corner to corner through the middle of each cell.",
        whole=rays(MIDDLE, CORNERS),
        half_level=rays(LEVEL_MIDDLE, LEVEL_CORNERS),
        half_upright=rays(UPRIGHT_MIDDLE, UPRIGHT_CORNERS),
        quarter=rays(QUARTER_MIDDLE, QUARTER_CORNERS),
    ),
    diamond(
        slug="nested-diamonds",
        name="Nested diamonds",
        shows="A small diamond in each cell, tied to the middles of the sides.",
        whole=_nested(MIDDLE, CORNERS, 0.5),
        half_level=_nested(LEVEL_MIDDLE, LEVEL_CORNERS, 0.45),
        half_upright=_nested(UPRIGHT_MIDDLE, UPRIGHT_CORNERS, 0.45),
        quarter=rays(QUARTER_MIDDLE, middles(QUARTER_CORNERS)),
        holding="glue dot",
    ),
    diamond(
        slug="diamond-wheel",
        name="Diamond wheel",
        shows="Bars from corner to corner and a ring where they cross.",
        whole=(*rays(MIDDLE, CORNERS), ring(MIDDLE, 0.4)),
        half_level=(*rays(LEVEL_MIDDLE, LEVEL_CORNERS), ring(LEVEL_MIDDLE, 0.25)),
        half_upright=(*rays(UPRIGHT_MIDDLE, UPRIGHT_CORNERS), ring(UPRIGHT_MIDDLE, 0.25)),
        quarter=rays(QUARTER_MIDDLE, QUARTER_CORNERS),
    ),
    diamond(
        slug="diamond-grid",
        name="Diamond grid",
        shows="Two bars along each side at the thirds: the lattice at a third of its pitch.",
        whole=tuple(
            Line(points=((at - sign * 0.5, sign * at + 0.5), (at + sign * 0.5, sign * at - 0.5)))
            for at in (-1 / 6, 1 / 6)
            for sign in (-1, 1)
        ),
        half_level=crossing_bars(LEVEL_MIDDLE, LEVEL_CORNERS),
        half_upright=crossing_bars(UPRIGHT_MIDDLE, UPRIGHT_CORNERS),
        quarter=crossing_bars(QUARTER_MIDDLE, QUARTER_CORNERS),
    ),
    diamond(
        slug="diamond-leaf",
        name="Diamond leaf",
        shows="An upright bar and a leaf on each side of it; at 60 degrees stars of six points.",
        whole=(
            Line(points=(LOWER, UPPER)),
            *rays((-1 / 3, 0.0), (LEFT, LOWER, UPPER)),
            *rays((1 / 3, 0.0), (LOWER, RIGHT, UPPER)),
        ),
        half_level=rays(LEVEL_MIDDLE, LEVEL_CORNERS),
        half_upright=rays(UPRIGHT_MIDDLE, UPRIGHT_CORNERS),
        quarter=rays(QUARTER_MIDDLE, QUARTER_CORNERS),
        rim="if needed",
    ),
)
