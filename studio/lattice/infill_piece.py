"""What a distinct infill piece is, and the face on which it is printed: chamfered, because the first layer is
pressed wide. `piece.py` cuts them."""

from dataclasses import dataclass

from shapely import Polygon

from studio.lattice.cut import hangs_together
from studio.lattice.holding import HOLDINGS
from studio.lattice.shapes import Shape

__all__ = ["BED_CHAMFER_MM", "Piece", "bed_chamfer_mm", "bed_outline"]

BED_CHAMFER_MM = 0.3
"""Across and up, at every edge of the bed face: common practice, no source."""
STEPS = (1.0, 2 / 3, 1 / 3)


def bed_chamfer_mm(outline: Polygon) -> float:
    """The chamfer that an outline gets: BED_CHAMFER_MM, or two thirds or a third of it, or 0 mm, where more
    would part the bed face or leave a neck narrower than a bead."""
    return next((BED_CHAMFER_MM * step for step in STEPS if hangs_together(_inset(outline, step))), 0.0)


def bed_outline(outline: Polygon) -> Polygon:
    """The outline (mm) of the first layer: drawn in by `bed_chamfer_mm` at every edge, inner ones too.

    Masses and times leave the chamfer out: it takes half its square times the length of the edges, for a
    hemp leaf of 44 mm cells, 2 mm strips and 6 mm depth 0.8 % of the volume.
    """
    step = bed_chamfer_mm(outline) / BED_CHAMFER_MM
    return _inset(outline, step) if step else outline


def _inset(outline: Polygon, step: float) -> Polygon:
    return outline.buffer(-BED_CHAMFER_MM * step, join_style="mitre")


@dataclass(frozen=True, eq=False)
class Piece:
    """One distinct infill piece in one facing: a pattern cut for a shape of cell.

    `outline` lies in the cell's own coordinates (mm, y up, origin at the cell's reference point
    `Composition.x/y`), already turned as it faces in the panel. `made_as` names what is printed: facings that
    are turns of each other share it. `name` is the pattern's. `rim` tells that it has a rim, `why_rim` why
    in plain words; `holding` is how it is held in its cell (holding.py).
    """

    pattern: str
    name: str
    shape: Shape
    facing: int
    made_as: str
    outline: Polygon
    rim: bool
    holding: str
    why_rim: str = ""

    @property
    def replaceable(self) -> bool:
        """Whether it can be taken out and replaced later."""
        return HOLDINGS[self.holding].replaceable

    @property
    def bed_outline(self) -> Polygon:
        """The outline of the first layer, drawn in by the chamfer of the bed face."""
        return bed_outline(self.outline)
