"""Patterns for the square lattice, for a cell of side 1 round the origin (cell.py). Traditional names are
given in romaji; the rest are our own. From plain to dense."""

from functools import partial
from math import sqrt

from studio.lattice.kinds.patterns.layout import Point, closed, drawn_in, rays, ring, ties
from studio.lattice.pattern import Arc, Line, Pattern

__all__ = ["PATTERNS"]

MIDDLE = (0.0, 0.0)
CORNERS = ((-0.5, -0.5), (0.5, -0.5), (0.5, 0.5), (-0.5, 0.5))
MIDDLES = ((0.0, -0.5), (0.5, 0.0), (0.0, 0.5), (-0.5, 0.0))
THIRDS = (-1 / 6, 1 / 6)

DIAGONAL = LOWER_LEFT, UPPER_RIGHT = CORNERS[0], CORNERS[2]
INCENTRE_OFF = 0.5 - (2 - sqrt(2)) / 2
"""How far the incentre of half a cell, cut along a diagonal, lies from either axis: it is (2 - sqrt 2)/2 off
the sides."""


def _half_leaf(corner: Point) -> tuple[Line, ...]:
    """The bisectors of the half cell with its right angle at `corner`, from its corners to its incentre."""
    incentre = (2 * INCENTRE_OFF * corner[0], 2 * INCENTRE_OFF * corner[1])
    return Line(points=(LOWER_LEFT, incentre, UPPER_RIGHT)), Line(points=(corner, incentre))


def _blade(quarter: int) -> Line:
    """A bar from one third of a side to the second of the bars across it."""
    ends = (-0.5, THIRDS[0]), (THIRDS[1], THIRDS[0])
    for _ in range(quarter):
        ends = (-ends[0][1], ends[0][0]), (-ends[1][1], ends[1][0])
    return Line(points=ends)


square = partial(Pattern, lattice="square")
PATTERNS = (
    square(
        slug="cross",
        name="Cross",
        shows="Two bars through the middle: the grid at half its pitch.",
        whole=rays(MIDDLE, MIDDLES),
    ),
    square(
        slug="ring-and-cross",
        name="Ring and cross",
        shows="A ring in each cell, tied to the middles of the sides.",
        whole=(ring(MIDDLE, 0.26), *ties(MIDDLE, MIDDLES, 0.26)),
        holding="glue dot",
    ),
    square(
        slug="pinwheel",
        name="Pinwheel",
        shows="Four bars, each ending on the next; turning left and right in alternate cells.",
        whole=tuple(_blade(quarter) for quarter in range(4)),
        mirrored=True,
    ),
    square(
        slug="wheels",
        name="Wheels",
        shows="A diagonal, and a quarter ring round each of its ends; wheels at alternate crossings.",
        whole=(
            Line(points=DIAGONAL),
            Arc(centre=LOWER_LEFT, radius=0.45, start_deg=0, end_deg=90),
            Arc(centre=UPPER_RIGHT, radius=0.45, start_deg=180, end_deg=270),
        ),
        mirrored=True,
    ),
    square(
        slug="saltire-box",
        name="Saltire and box",
        shows="Diagonals from the corners to a box in the middle.",
        whole=(closed(drawn_in(MIDDLE, CORNERS, 0.4)), *ties(MIDDLE, CORNERS, 0.2 * sqrt(2))),
    ),
    square(
        slug="well-crib",
        name="Well crib",
        shows="Igeta: two bars each way at the thirds.",
        whole=(
            *(Line(points=((at, -0.5), (at, 0.5))) for at in THIRDS),
            *(Line(points=((-0.5, at), (0.5, at))) for at in THIRDS),
        ),
    ),
    square(
        slug="slats",
        name="Slats",
        shows="Three upright bars on one level tie; the panel reads as upright stripes.",
        whole=(
            Line(points=((-0.5, 0.0), (0.5, 0.0))),
            *(Line(points=((at, -0.5), (at, 0.5))) for at in (-0.25, 0.0, 0.25)),
        ),
    ),
    square(
        slug="seven-treasures",
        name="Seven treasures",
        shows="Shippo: four arcs from corner to corner; circles that overlap by a quarter.",
        whole=tuple(
            Arc(centre=(2 * x, 2 * y), radius=sqrt(0.5), start_deg=angle - 45, end_deg=angle + 45)
            for (x, y), angle in zip(MIDDLES, (90, 180, 270, 360), strict=True)
        ),
        rim="if needed",
    ),
    square(
        slug="quartered-diamond",
        name="Quartered diamond",
        shows="A square standing on its corner, with a cross through it.",
        whole=(closed(MIDDLES), *rays(MIDDLE, MIDDLES)),
        rim="if needed",
    ),
    square(
        slug="nested-boxes",
        name="Nested boxes",
        shows="Masu: squares within each other, joined by four ties.",
        whole=(
            closed(drawn_in(MIDDLE, CORNERS, 0.24)),
            closed(drawn_in(MIDDLE, CORNERS, 0.6)),
            *ties(MIDDLE, MIDDLES, 0.12),
        ),
        holding="glue dot",
    ),
    square(
        slug="set-diamond",
        name="Set diamond",
        shows="The middles of the sides joined: a square standing on its corner.",
        whole=(closed(MIDDLES),),
        rim="if needed",
    ),
    square(
        slug="square-hemp-leaf",
        name="Square hemp leaf",
        shows="Kaku-asanoha: a diagonal with leaves on both sides; 16 and 8 rays at alternate crossings.",
        whole=(Line(points=DIAGONAL), *_half_leaf(CORNERS[1]), *_half_leaf(CORNERS[3])),
        mirrored=True,
        rim="if needed",
    ),
)
