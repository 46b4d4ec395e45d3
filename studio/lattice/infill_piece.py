"""What a distinct infill piece is; `piece.py` cuts them."""

from dataclasses import dataclass

from shapely import Polygon

from studio.lattice.bed_face import bed_outline
from studio.lattice.holding import HOLDINGS
from studio.lattice.shapes import Shape

__all__ = ["Piece"]


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
