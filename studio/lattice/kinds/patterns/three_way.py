"""Patterns for the three-way lattice, for a cell of side 1 with its upright side on the left (cell.py).

Half cells have strokes of their own, mostly laid out from the half's incentre: a whole piece cut in two would
fall apart. Traditional names are given in romaji; the rest are our own. From plain to dense.
"""

from functools import partial
from math import sqrt

from studio.lattice.kinds.patterns.layout import (
    arcs_round,
    closed,
    crossing_bars,
    drawn_in,
    petal,
    rays,
    ring,
    ties,
    whirl,
)  # fmt: skip
from studio.lattice.pattern import Fill, Line, Pattern

__all__ = ["PATTERNS"]

HEIGHT = sqrt(3) / 2
LEFT, RIGHT = -HEIGHT / 2, HEIGHT / 2
LOWER, APEX, UPPER = (LEFT, -0.5), (RIGHT, 0.0), (LEFT, 0.5)
CORNERS = (LOWER, APEX, UPPER)
LOWER_MIDDLE, UPPER_MIDDLE, FOOT = (0.0, -0.25), (0.0, 0.25), (LEFT, 0.0)
MIDDLES = (LOWER_MIDDLE, UPPER_MIDDLE, FOOT)
CENTROID = (LEFT + HEIGHT / 3, 0.0)

HALF_CORNERS = (FOOT, APEX, UPPER)
"""Of 90, 30 and 60 degrees."""
HALF_RADIUS = (sqrt(3) - 1) / 4
INCENTRE = (LEFT + HALF_RADIUS, HALF_RADIUS)
TOUCHES = (
    (INCENTRE[0], 0.0),
    (INCENTRE[0] + HALF_RADIUS / 2, HALF_RADIUS * (1 + HEIGHT)),
    (LEFT, HALF_RADIUS),
)
"""Where the circle in the half cell touches its sides."""

CHEVRONS = (0.36, 0.68)
"""Where along the tie the angles have their points, from the upright side."""
ON_SLOPE = (LEFT + HEIGHT / 4, 0.375)
"""Foot of the perpendicular from the half cell's right angle to its sloping side."""


def _chevron(at: float) -> Line:
    """Two sides of the cell drawn in towards the middle of its upright side."""
    lower, apex, upper = drawn_in(FOOT, CORNERS, at)
    return Line(points=(lower, apex, upper))


three_way = partial(Pattern, lattice="three-way")
PATTERNS = (
    three_way(
        slug="tortoiseshell",
        name="Tortoiseshell",
        shows="Kikko: from the middle of each cell to its sides; a hexagon round every crossing.",
        whole=rays(CENTROID, MIDDLES),
        half=rays(INCENTRE, (UPPER_MIDDLE, (LEFT, 0.25), TOUCHES[0])),
        holding="glue dot",
    ),
    three_way(
        slug="basket-weave",
        name="Basket weave",
        shows="Kagome: the middles of the sides joined; hexagons round the crossings, triangles between.",
        whole=(closed(MIDDLES),),
        half=(Line(points=(FOOT, UPPER_MIDDLE, (0.0, 0.0))),),
        rim="if needed",
    ),
    three_way(
        slug="hemp-leaf",
        name="Hemp leaf",
        shows="Asanoha: from the middle of each cell to its corners; six cells make a star.",
        whole=rays(CENTROID, CORNERS),
        half=rays(INCENTRE, HALF_CORNERS),
    ),
    three_way(
        slug="overlapping-rings",
        name="Overlapping rings",
        shows="Rings round the crossings that meet in the middle of each cell.",
        whole=arcs_round(CORNERS, CENTROID),
        half=arcs_round(HALF_CORNERS, INCENTRE),
    ),
    three_way(
        slug="nested-triangles",
        name="Nested triangles",
        shows="A small triangle in each cell, tied to the sides.",
        whole=(closed(drawn_in(CENTROID, CORNERS, 0.4)), *ties(CENTROID, MIDDLES, 0.4 * HEIGHT / 3)),
        half=(closed(drawn_in(INCENTRE, HALF_CORNERS, 0.45)), *ties(INCENTRE, TOUCHES, 0.45 * HALF_RADIUS)),
        holding="glue dot",
    ),
    three_way(
        slug="crossing-bars",
        name="Crossing bars",
        shows="A bar along each side, crossing in the middle of the cell.",
        whole=crossing_bars(CENTROID, CORNERS),
        half=crossing_bars(INCENTRE, HALF_CORNERS),
    ),
    three_way(
        slug="ladder",
        name="Ladder",
        shows="Bars along the upright side on one tie; the panel reads as upright stripes.",
        whole=(
            Line(points=(FOOT, APEX)),
            Line(points=((LEFT + HEIGHT / 4, -0.5), (LEFT + HEIGHT / 4, 0.5))),
            Line(points=((0.0, -0.5), (0.0, 0.5))),
        ),
        half=(
            Line(points=((LEFT, HEIGHT * (2 - sqrt(3))), APEX)),
            Line(points=((LEFT + HEIGHT / 4, 0.0), (LEFT + HEIGHT / 4, 0.5))),
            Line(points=((0.0, 0.0), (0.0, 0.5))),
        ),
    ),
    three_way(
        slug="spoked-ring",
        name="Spoked ring",
        shows="A ring in each cell with spokes to the corners.",
        whole=(ring(CENTROID, 0.13), *ties(CENTROID, CORNERS, 0.13)),
        half=(ring(INCENTRE, 0.09), *ties(INCENTRE, HALF_CORNERS, 0.09)),
    ),
    three_way(
        slug="whirl",
        name="Whirl",
        shows="Bars from the corners, each ending on the next; wheels round the crossings.",
        whole=whirl(CORNERS),
        half=whirl(HALF_CORNERS),
    ),
    three_way(
        slug="six-petals",
        name="Six petals",
        shows="Arcs from the middle of each cell to its corners; a flower of six petals at every crossing.",
        whole=tuple(arc for corner in CORNERS for arc in petal(CENTROID, corner, 30)),
        half=(*rays(INCENTRE, (FOOT, APEX)), *petal(INCENTRE, UPPER, 30)),
        rim="if needed",
    ),
    three_way(
        slug="chevrons",
        name="Chevrons",
        shows="Angles within each other on one tie; zigzags beside the strips.",
        whole=(Line(points=(FOOT, APEX)), *map(_chevron, CHEVRONS)),
        half=(Line(points=(FOOT, ON_SLOPE)), Line(points=drawn_in(FOOT, (APEX, UPPER), 0.5))),
    ),
    three_way(
        slug="star-weave",
        name="Star weave",
        shows="Basket weave and hemp leaf over each other.",
        whole=(*rays(CENTROID, CORNERS), closed(MIDDLES)),
        half=(*rays(INCENTRE, HALF_CORNERS), Line(points=TOUCHES)),
    ),
    three_way(
        slug="web",
        name="Web",
        shows="A hemp leaf with a triangle across its leaves.",
        whole=(*rays(CENTROID, CORNERS), closed(drawn_in(CENTROID, CORNERS, 0.5))),
        half=(*rays(INCENTRE, HALF_CORNERS), closed(drawn_in(INCENTRE, HALF_CORNERS, 0.5))),
    ),
    three_way(
        slug="scales",
        name="Scales",
        shows="Uroko: filled triangles that face one way, open ones between them.",
        whole=(Fill(points=CORNERS),),
        half=(Fill(points=HALF_CORNERS),),
        facings="left",
    ),
)
