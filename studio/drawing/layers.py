"""The panel itself as SVG elements: edging, infills, lattice."""

from collections.abc import Mapping
from itertools import groupby
from typing import Any

import shapely
from shapely import Polygon

from studio.drawing.colour import colour_of, needs_edge
from studio.drawing.markup import element, path
from studio.drawing.paths import outline_path, tile_paths
from studio.drawing.strips import edging_rails, lattice_strips
from studio.lattice.composition import Composition

__all__ = ["filled", "panel_layers", "panel_up"]

OUTLINE: dict[str, Any] = {
    "stroke": "currentColor",
    "stroke_width": 1.2,
    "stroke_linejoin": "round",
    "vector_effect": "non-scaling-stroke",
}
"""0.35 mm on the screen whatever the size of the picture (ISO 128-2 series, from memory)."""
EDGE: dict[str, Any] = {
    "stroke": "currentColor",
    "stroke_width": 0.6,
    "paint_order": "stroke",
    "vector_effect": "non-scaling-stroke",
}


def panel_layers(composition: Composition, colours: Mapping[str, str], *, edges: bool = True) -> str:
    """Edging, infills by tile and filament, lattice. With `edges`, what the sheet would swallow is edged, and
    the panel outlined."""
    lattice = colour_of(colours, composition.design.lattice_filament)
    strips = panel_up(composition, lattice_strips(composition))
    return (
        _edging(composition, colours, edges)
        + _infills(composition, colours, edges)
        + (filled("lattice", strips, lattice) if edges else path(strips, class_="lattice", fill=lattice))
    )


def panel_up(composition: Composition, polygons: list[Polygon]) -> str:
    """Path data of polygons in lattice coordinates (mm, y up), moved so that the upper left corner is the
    origin."""
    corner = (0, composition.fit.lattice_height_mm)
    return outline_path(shapely.transform(polygons, lambda points: points - corner))


def _edging(composition: Composition, colours: Mapping[str, str], edges: bool) -> str:
    rails = edging_rails(composition)
    if not rails:
        return ""
    colour = colour_of(colours, composition.design.edging_filament)
    return path(panel_up(composition, rails), class_="edging", fill=colour, **(OUTLINE if edges else {}))


def _infills(composition: Composition, colours: Mapping[str, str], edges: bool) -> str:
    """A group for each filament, in it a path for each tile."""
    groups = ""
    for filament, of_filament in groupby(tile_paths(composition), key=lambda tile: tile.filament):
        colour = colour_of(colours, composition.filaments[filament])
        edge = dict(EDGE) if edges and needs_edge(colour) else {}
        each = {"vector_effect": edge.pop("vector_effect")} if edge else {}  # alone is not inherited
        paths = "".join(path(tile.data, **each) for tile in of_filament)
        groups += element("g", paths, fill=colour, **edge)
    return element("g", groups, class_="infills") if groups else ""


def filled(class_: str | None, data: str, colour: str) -> str:
    """A filled path; a colour that the sheet would swallow gets a thin edge, under the fill so that
    crossings stay plain."""
    return path(data, class_=class_, fill=colour, **(EDGE if needs_edge(colour) else {}))
