"""What a drawing is laid out with: frames, the pen, lettering.

Drawing units are tenths of a millimetre of the thing, y down, origin at the lattice's upper left corner.
"""

from dataclasses import dataclass

from studio.drawing.rings import PER_MM
from studio.lattice.composition import Composition

__all__ = ["Frame", "Lettering", "Pen", "Segment", "corner_of", "frame_of"]

Segment = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class Pen:
    """`unit` is what one millimetre on the sheet means in drawing units, so that lettering, gaps and
    strokes have their size on the sheet; `capital_mm` is the height of capitals there (ISO 3098 series
    2.5, 3.5, from memory)."""

    unit: float
    capital_mm: float

    @property
    def capital(self) -> float:
        return self.capital_mm * self.unit


@dataclass(frozen=True, slots=True)
class Frame:
    """A rectangle in drawing units."""

    left: float
    top: float
    right: float
    bottom: float

    @property
    def width(self) -> float:
        return self.right - self.left

    @property
    def height(self) -> float:
        return self.bottom - self.top

    def grown(self, left: float, top: float, right: float, bottom: float) -> "Frame":
        return Frame(self.left - left, self.top - top, self.right + right, self.bottom + bottom)

    def around(self, by: float) -> "Frame":
        """Grown by as much on every side."""
        return self.grown(by, by, by, by)


@dataclass(frozen=True, slots=True)
class Lettering:
    """`text`, `width` wide, about the middle x, y of its foot. `turned`: read from the right, its foot to
    the right."""

    text: str
    x: float
    y: float
    width: float
    turned: bool = False


def frame_of(composition: Composition) -> Frame:
    """The panel's outline, edging included."""
    edge = PER_MM * float(composition.design.edging_width_mm)
    fit = composition.fit
    return Frame(-edge, -edge, PER_MM * fit.lattice_width_mm + edge, PER_MM * fit.lattice_height_mm + edge)


def corner_of(composition: Composition, cells: tuple[int, int]) -> Frame:
    """The panel's upper left corner: edging, about `cells` cells across and up, and a quarter of a cell
    more."""
    fit, panel = composition.fit, frame_of(composition)
    across, up = (
        PER_MM * (count * way.step_mm * (1 + way.zigzag) + fit.cell_side_mm / 4)
        for count, way in zip(cells, (fit.across, fit.up), strict=True)
    )
    return Frame(panel.left, panel.top, min(round(across), panel.right), min(round(up), panel.bottom))
