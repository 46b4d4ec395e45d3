"""A panel as the content of a PDF form: drawing units, y down, each distinct piece repeated by moving it."""

from cmath import rect
from collections.abc import Iterable, Mapping
from math import asin, tan

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon

from studio.drawing.colour import colour_of, needs_edge, rgb
from studio.drawing.curves import Curve, Step, curves_of
from studio.drawing.paths import cell_places
from studio.drawing.rings import polygon_rings
from studio.drawing.strips import edging_rails, lattice_strips
from studio.lattice.composition import Composition, Piece
from studio.memo import memo

__all__ = ["INK", "panel_content"]

EDGE_UNITS = 500
"""Edges of pale and dark colours, half of them outside: 0.05 mm on paper at 1:10."""
INK, EDGE_GREY = "0.114 0.106 0.094", "0.54 0.51 0.46"
"""#1D1B18 and #8A8275."""


def panel_content(composition: Composition, colours: Mapping[str, str]) -> bytes:
    """Edging, infills by filament, lattice. Raises Refused for a filament without a colour."""
    design = composition.design
    parts = []
    rails = edging_rails(composition)
    if rails:
        outline = _at_top(composition, rails)
        parts.append(f"q {_fill(colour_of(colours, design.edging_filament))} {outline}f Q")
        parts.append(f"q {INK} RG {EDGE_UNITS} w 1 j {outline}S Q")
    for index, filament in enumerate(composition.filaments):
        cells = np.flatnonzero((composition.piece >= 0) & (composition.filament == index))
        if cells.size:
            parts.append(_infills(composition, cells, colour_of(colours, filament)))
    strips = _at_top(composition, lattice_strips(composition))
    colour = colour_of(colours, design.lattice_filament)
    if needs_edge(colour):  # under the fill, so that crossings stay plain
        parts.append(f"q {EDGE_GREY} RG {EDGE_UNITS} w {strips}S Q")
    parts.append(f"q {_fill(colour)} {strips}f Q")
    return "\n".join(parts).encode("ascii")


def _infills(composition: Composition, cells: NDArray[np.intp], colour: str) -> str:
    """Cells in the order of their pieces; each `cm` moves on from the cell before."""
    paint = "B" if needs_edge(colour) else "f"
    edge = f"{EDGE_GREY} RG {EDGE_UNITS} w " if needs_edge(colour) else ""
    drawn = [f"{_drawn(piece)}{paint}" for piece in composition.pieces]
    cells = cells[np.argsort(composition.piece[cells], kind="stable")]
    places = cell_places(composition)[cells]
    moves = np.diff(places, axis=0, prepend=[[0, 0]])
    body = "\n".join(
        f"1 0 0 1 {dx} {dy} cm {drawn[piece]}"
        for (dx, dy), piece in zip(moves.tolist(), composition.piece[cells].tolist(), strict=True)
    )
    return f"q {_fill(colour)} {edge}\n{body}\nQ"


@memo
def _drawn(piece: Piece) -> str:
    return "".join(_curve(curve) for curve in curves_of(piece.outline))


def _curve(curve: Curve) -> str:
    x, y = curve.x, curve.y
    drawn = f"{x} {y} m "
    for step in curve.steps:
        drawn += _bent(x, y, step) if step.radius else f"{x + step.dx} {y + step.dy} l "
        x, y = x + step.dx, y + step.dy
    return drawn + "h "


def _bent(x: int, y: int, step: Step) -> str:
    """An arc as one cubic; up to 120 degrees it is never more than 0.2 % of the radius off."""
    chord = complex(step.dx, step.dy)
    half = asin(min(1.0, abs(chord) / (2 * abs(step.radius))))
    reach = 4 / 3 * tan(half / 2) * abs(step.radius) * chord / abs(chord)
    turn = rect(1, -half if step.radius > 0 else half)
    start, end = complex(x, y), complex(x, y) + chord
    points = start + reach * turn, end - reach * turn.conjugate(), end
    return " ".join(f"{round(p.real)} {round(p.imag)}" for p in points) + " c "


def _at_top(composition: Composition, polygons: list[Polygon]) -> str:
    corner = (0, composition.fit.lattice_height_mm)
    return _rings(polygon_rings(*shapely.transform(polygons, lambda points: points - corner)))


def _rings(rings: Iterable[NDArray[np.int64]]) -> str:
    return "".join(
        "".join(f"{x} {y} {'l' if i else 'm'} " for i, (x, y) in enumerate(ring.tolist())) + "h "
        for ring in rings
    )


def _fill(colour: str) -> str:
    return " ".join(f"{part:.3f}" for part in rgb(colour)) + " rg"
