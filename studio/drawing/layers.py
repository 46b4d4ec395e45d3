"""The panel itself as SVG elements: edging, infills, lattice."""

from collections.abc import Mapping
from typing import Any

import shapely
from shapely import Polygon

from studio.drawing.colour import colour_of, needs_edge
from studio.drawing.markup import element
from studio.drawing.paths import TILE, TilePath, outline_path, tile_paths
from studio.drawing.rings import TENTHS
from studio.drawing.sheet import Frame
from studio.drawing.strips import edging_rails, lattice_strips
from studio.lattice.composition import Composition

__all__ = ["filled", "panel_layers", "panel_up"]

OUTLINE_PX = 1.2
"""Width on screen whatever the size of the picture: 0.35 mm outlines (ISO 128-2 series, from memory)."""
EDGE: dict[str, Any] = {
    "stroke": "currentColor",
    "stroke_width": 0.6,
    "paint_order": "stroke",
    "vector_effect": "non-scaling-stroke",
}


def panel_layers(composition: Composition, colours: Mapping[str, str], crop: Frame | None = None) -> str:
    """Edging, infills by tile and filament, lattice; with a `crop` only the tiles that may show in it."""
    lattice = colour_of(colours, composition.design.lattice_filament)
    strips = panel_up(composition, lattice_strips(composition))
    return (
        _edging(composition, colours)
        + _infills(composition, colours, crop)
        + filled("lattice", strips, lattice)
    )


def panel_up(composition: Composition, polygons: list[Polygon]) -> str:
    """Path data of polygons in lattice coordinates (mm, y up), moved so that the upper left corner is the
    origin."""
    corner = (0, composition.fit.lattice_height_mm)
    return outline_path(shapely.transform(polygons, lambda points: points - corner))


def _edging(composition: Composition, colours: Mapping[str, str]) -> str:
    rails = edging_rails(composition)
    if not rails:
        return ""
    colour = colour_of(colours, composition.design.edging_filament)
    return element(
        "path",
        class_="edging",
        d=panel_up(composition, rails),
        fill=colour,
        stroke="currentColor",
        stroke_width=OUTLINE_PX,
        stroke_linejoin="round",
        vector_effect="non-scaling-stroke",
    )


def _infills(composition: Composition, colours: Mapping[str, str], crop: Frame | None) -> str:
    hues = [colour_of(colours, filament) for filament in composition.filaments]
    tiles = (tile for tile in tile_paths(composition) if crop is None or _shows(composition, tile, crop))
    paths = "".join(filled(None, tile.data, hues[tile.filament]) for tile in tiles)
    return element("g", paths, class_="infills") if paths else ""


def filled(class_: str | None, data: str, colour: str) -> str:
    """A filled path; a colour that the sheet would swallow gets a thin edge, under the fill so that
    crossings stay plain."""
    return element("path", class_=class_, d=data, fill=colour, **(EDGE if needs_edge(colour) else {}))


def _shows(composition: Composition, tile: TilePath, crop: Frame) -> bool:
    """By the reference points of the tile's cells, one cell side generous."""
    fit, reach = composition.fit, TENTHS * composition.fit.cell_side_mm
    across, up = tile.tile
    wide = TENTHS * fit.lattice_width_mm / fit.columns
    high = TENTHS * fit.lattice_height_mm / fit.rows
    left, bottom = across * TILE * wide - reach, TENTHS * fit.lattice_height_mm - up * TILE * high + reach
    right, top = left + TILE * wide + 2 * reach, bottom - TILE * high - 2 * reach
    return left < crop.right and right > crop.left and top < crop.bottom and bottom > crop.top
