"""Patterns for the diamond lattice, for every angle: x in halves of the cell's level diagonal, y in halves
of its upright one, radii in radii of the inscribed circle (pattern.py). Halves and quarters keep the whole
cell's origin, and have strokes of their own. Names are our own. From plain to dense."""

from studio.lattice.pattern import Pattern
from studio.lattice.patterns.layout import rays

__all__ = ["DIAMOND"]

MIDDLE = (0.0, 0.0)
LEFT, LOWER, RIGHT, UPPER = (-1.0, 0.0), (0.0, -1.0), (1.0, 0.0), (0.0, 1.0)

DIAMOND = (
    Pattern(
        slug="crossed-diamond",
        name="Crossed diamond",
        shows="Bars from corner to corner through the middle of each cell.",
        lattice="diamond",
        whole=rays(MIDDLE, (LEFT, LOWER, RIGHT, UPPER)),
        half_level=rays((0.0, 1 / 3), (LEFT, RIGHT, UPPER)),
        half_upright=rays((1 / 3, 0.0), (LOWER, RIGHT, UPPER)),
        quarter=rays((1 / 3, 1 / 3), (MIDDLE, RIGHT, UPPER)),
    ),
)
