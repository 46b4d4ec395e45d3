"""Patterns for the square lattice, for a cell of side 1 round the origin (see cell.py)."""

from studio.lattice.pattern import Line, Pattern

__all__ = ["SQUARE"]

INCENTRE = 0.5 - (2 - 2**0.5) / 2
"""How far the incentre of half a cell, cut along a diagonal, lies from both axes."""

SQUARE = (
    Pattern(
        slug="square-hemp-leaf",
        name="Square hemp leaf",
        shows="Kaku-asanoha: a diagonal and leaves at 22.5, 45 and 67.5 degrees; 16 and 8 rays at alternate crossings.",
        lattice="square",
        strokes={
            "whole": (
                Line(((-0.5, -0.5), (0.5, 0.5))),
                Line(((-0.5, -0.5), (-INCENTRE, INCENTRE), (0.5, 0.5))),
                Line(((-0.5, 0.5), (-INCENTRE, INCENTRE))),
                Line(((-0.5, -0.5), (INCENTRE, -INCENTRE), (0.5, 0.5))),
                Line(((0.5, -0.5), (INCENTRE, -INCENTRE))),
            ),
        },
        mirrored=True,
    ),
)
