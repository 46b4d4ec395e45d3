"""What a distinct infill piece is; `piece.py` cuts them."""

from dataclasses import dataclass

from shapely import Polygon

__all__ = ["Piece"]


@dataclass(frozen=True, eq=False)
class Piece:
    """One distinct infill piece in one facing: a pattern cut for a shape of cell.

    `outline` lies in the cell's own coordinates (mm, y up, origin at the cell's reference point
    `Composition.x/y`), already turned as it faces in the panel. `made_as` names what is printed: facings that
    are turns of each other share it. `name` is the pattern's. `rim` tells that a rim was needed to hold the
    strokes together; `holding` is how it is held in its cell.
    """

    pattern: str
    name: str
    shape: str
    facing: int
    made_as: str
    outline: Polygon
    rim: bool
    holding: str
