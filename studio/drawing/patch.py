"""One cell with its piece, as a mark beside the pattern's name."""

import shapely

from studio.drawing.colour import colour_of
from studio.drawing.curves import curves_of
from studio.drawing.layers import filled
from studio.drawing.markup import element, path, view_box
from studio.drawing.paths import curves_path, outline_path
from studio.drawing.rings import PER_MM
from studio.drawing.sheet import Frame
from studio.lattice.composition import SHAPES, Composition

__all__ = ["patch_svg"]


def patch_svg(composition: Composition, pattern: str, colour: str, size_px: int = 36) -> str:
    """A piece of `pattern` (its slug) as the panel has it, a whole one if it has one, in its opening. Left
    out of what is read aloud, since the name stands beside it. Raises ValueError for a pattern that the panel
    does not have."""
    pieces = [piece for piece in composition.pieces if piece.pattern == pattern]
    if not pieces:
        raise ValueError(f"the panel has no piece of {pattern!r}")
    piece = min(pieces, key=lambda piece: (SHAPES.index(piece.shape), piece.facing))
    opening = composition.openings[SHAPES.index(piece.shape), piece.facing]
    left, bottom, right, top = (PER_MM * edge for edge in shapely.bounds(opening))
    margin = (right - left) / 30
    around = path(
        outline_path([opening]),
        stroke="currentColor",
        stroke_width=0.6,
        stroke_opacity=0.6,
        vector_effect="non-scaling-stroke",
    )
    data = curves_path(curves_of(piece.outline))
    return element(
        "svg",
        around + filled(None, data, colour_of({pattern: colour}, pattern)),
        xmlns="http://www.w3.org/2000/svg",
        viewBox=view_box(Frame(left, -top, right, -bottom).around(margin)),
        width=size_px,
        height=size_px,
        fill="none",
        class_="patch",
        aria_hidden="true",
        focusable="false",
    )
