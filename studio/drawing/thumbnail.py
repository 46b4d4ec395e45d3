"""A panel as a small picture: pieces while they are few, tints of their colours where they would be
specks."""

from collections.abc import Iterator, Mapping

import numpy as np
from numpy.typing import NDArray

from studio.drawing.colour import colour_of
from studio.drawing.layers import filled, panel_layers, panel_up
from studio.drawing.markup import element, segments_path, svg
from studio.drawing.regions import cell_polygons, joined
from studio.drawing.rings import PER_MM
from studio.drawing.sheet import frame_of
from studio.drawing.strips import edging_rails, strip_lines
from studio.lattice.composition import SHAPES, Composition

__all__ = ["thumbnail_svg", "tinted_layers"]

FEW = 80
"""Cells that may be drawn piece by piece."""


def thumbnail_svg(composition: Composition, colours: Mapping[str, str], *, title: str, ident: str) -> str:
    """The panel without dimensions, about 12 kB at the most for panels of bands and borders. `title` is
    plain text, `ident` its own on the page. Raises Refused for a filament without a colour."""
    frame = frame_of(composition)
    margin = max(frame.width, frame.height) / 200
    few = len(composition.piece) <= FEW
    content = panel_layers(composition, colours) if few else "".join(tinted_layers(composition, colours))
    return svg(frame.around(margin), content, title=title, ident=ident, class_="drawing thumbnail")


def tinted_layers(composition: Composition, colours: Mapping[str, str]) -> Iterator[str]:
    """Each pattern and filament as one area, as dense as its pieces; lattice lines; the edging over their
    ends."""
    cells, density = cell_polygons(composition), _densities(composition)
    keys = np.stack((composition.filament, np.rint(100 * density)), axis=1)[composition.piece >= 0]
    for filament, percent in np.unique(keys, axis=0).astype(int).tolist():
        chosen = (composition.filament == filament) & (np.rint(100 * density) == percent)
        yield element(
            "path",
            d=panel_up(composition, joined(cells[chosen & (composition.piece >= 0)])),
            fill=colour_of(colours, composition.filaments[filament]),
            fill_opacity=percent / 100,
        )
    yield element(
        "path",
        class_="lattice",
        d=segments_path(strip_lines(composition)),
        stroke=colour_of(colours, composition.design.lattice_filament),
        stroke_width=round(PER_MM * float(composition.design.strip_width_mm)),
    )
    if rails := edging_rails(composition):
        yield filled(
            "edging", panel_up(composition, rails), colour_of(colours, composition.design.edging_filament)
        )


def _densities(composition: Composition) -> NDArray[np.float64]:
    """How much of its cell a piece covers, taken from the whole cells of its pattern; 0 for open cells."""
    areas: dict[str, float] = {}
    for piece in composition.pieces:
        if piece.shape == "whole" or piece.pattern not in areas:
            areas[piece.pattern] = piece.outline.area / composition.cell_area_mm2[SHAPES.index(piece.shape)]
    of_piece = np.array([*(areas[piece.pattern] for piece in composition.pieces), 0.0])
    return of_piece[composition.piece]
