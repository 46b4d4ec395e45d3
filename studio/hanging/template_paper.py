"""Paper for drilling templates, and what is drawn on it. Paper coordinates are mm from a sheet's lower left
corner, x to the right, y up."""

from dataclasses import dataclass
from typing import Literal

__all__ = [
    "BARS_MM", "FOOT_MM", "LARGE", "LETTERS_MM", "MARGIN_MM", "OVERLAP_MM", "PAPERS", "SMALL_MM",
    "Box", "Circle", "Grid", "Line", "Paper", "Sheet", "Style", "Text", "sheet_name",
]  # fmt: skip

Paper = Literal["A4", "letter"]
PAPERS: dict[str, tuple[float, float]] = {
    "A4": (210, 297), "letter": (215.9, 279.4), "A3": (297, 420), "A2": (420, 594), "A1": (594, 841),
    "A0": (841, 1189),
}  # fmt: skip
"""ISO 216; Letter is 8 1/2 by 11 inches."""
LARGE = ("A4", "A3", "A2", "A1", "A0")
MARGIN_MM, OVERLAP_MM, FOOT_MM = 10.0, 10.0, 24.0
"""Round every sheet, between tiles, and for the check bars at the foot: common practice, no source."""
BARS_MM = (100.0, 101.6)
"""A decimetre and 4 inches."""
LETTERS_MM, SMALL_MM = 4.0, 2.8

Style = Literal["level", "centre", "join", "outline", "hole", "bar", "cable", "plan"]
Box = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class Line:
    x1: float
    y1: float
    x2: float
    y2: float
    style: Style


@dataclass(frozen=True, slots=True)
class Circle:
    x: float
    y: float
    radius_mm: float


@dataclass(frozen=True, slots=True)
class Text:
    """Begins at x on the line y; capitals about two thirds of `size_mm` high."""

    x: float
    y: float
    text: str
    size_mm: float = LETTERS_MM


@dataclass(frozen=True, slots=True)
class Sheet:
    """`name` is its row and column ("B3"), A the uppermost row."""

    name: str
    width_mm: float
    height_mm: float
    lines: tuple[Line, ...]
    circles: tuple[Circle, ...]
    texts: tuple[Text, ...]


@dataclass(frozen=True, slots=True)
class Grid:
    """Tiles over a region: each shows `field` of it and is a step from the next."""

    paper: tuple[float, float]
    columns: int
    rows: int
    region: Box

    @property
    def field(self) -> tuple[float, float]:
        return self.paper[0] - 2 * MARGIN_MM, self.paper[1] - 2 * MARGIN_MM - FOOT_MM

    def shown(self, column: int, row: int) -> Box:
        """What a tile shows; rows from the top."""
        (wide, high), (left, _, _, top) = self.field, self.region
        x, y = left + column * (wide - OVERLAP_MM), top - row * (high - OVERLAP_MM)
        return x, y - high, x + wide, y


def sheet_name(column: int, row: int) -> str:
    """Rows are letters from the top, A to Z, then numbers."""
    return f"{chr(ord('A') + row) if row < 26 else f'R{row + 1}.'}{column + 1}"
