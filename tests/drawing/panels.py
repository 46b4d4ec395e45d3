"""Panels put together by hand, so that drawings are tested against numbers anybody can recount."""

from decimal import Decimal
from math import sqrt

import numpy as np
from shapely import LineString, Polygon, union_all

from studio.lattice.cell import cell_corners
from studio.lattice.composition import SHAPES, Composition, Piece, compose
from studio.lattice.design import AllOver, BorderAndField, Design, Infill, LatticeKind, Space
from studio.lattice.fit import Fit, best_fit
from studio.lattice.kinds import kinds
from studio.lattice.patterns import patterns
from studio.lattice.shapes import HALF_HANDS

COLOURS = {"Tea": "#b08d57", "Indigo": "#234a6b", "Walnut": "#5b4332", "Chalk": "#ffffff"}
KINDS = tuple(kind.name for kind in kinds())
FILAMENTS = ("Tea", "Indigo", "Chalk")
STRIP, PLAY = 3.2, 0.15


def panel(
    lattice: LatticeKind = "three-way",
    columns: int = 6,
    rows: int = 8,
    side: float = 44.0,
    *,
    every_nth_open: int = 0,
    border: int = 0,
    edging: str = "12",
    filaments: tuple[str, ...] = FILAMENTS[:2],
) -> Composition:
    """Stars in the cells: the first filament in the field, the second in a border, each n-th cell open."""
    make = _three_way if lattice == "three-way" else _square
    column, row, x, y, shape, facing = (
        np.array(part) for part in zip(*make(columns, rows, side), strict=True)
    )
    kinds = sorted({(int(s), int(f)) for s, f in zip(shape, facing, strict=True)})
    piece = np.array([kinds.index((s, f)) for s, f in zip(shape, facing, strict=True)], dtype=np.int16)
    if every_nth_open:
        piece[::every_nth_open] = -1
    outside = (column < border) | (column >= columns - border) | (row < border) | (row > row.max() - border)
    filament = np.where(piece < 0, -1, np.where(outside, 1, 0)).astype(np.int16)
    edge = float(edging)
    width = columns * (side * sqrt(3) / 2 if lattice == "three-way" else side)
    height = rows * (side / 2 if lattice == "three-way" else side)
    return Composition(
        design=_design(lattice, side, edging),
        fit=Fit(
            lattice, columns, rows, side, width, height, width + 2 * edge, height + 2 * edge, (0, 0), "both"
        ),
        column=column.astype(np.int32),
        row=row.astype(np.int32),
        x=x.astype(float),
        y=y.astype(float),
        shape=shape.astype(np.int8),
        facing=facing.astype(np.int8),
        piece=piece,
        filament=filament,
        pieces=tuple(_star(lattice, s, f, side) for s, f in kinds),
        filaments=filaments,
        cell_area_mm2=_areas(lattice, side),
        openings={(s, f): _opening(lattice, s, f, side) for s, f in kinds},
        outside=(),
    )


def composed(
    lattice: LatticeKind,
    columns: int,
    rows: int,
    *,
    side: str = "44",
    edging: str = "12",
    infill_strip: str = "2",
    angle: str = "60",
    border: bool = True,
) -> Composition:
    """Put together by the program itself: the plainest pattern of the lattice within a border of its densest,
    of three filaments; or the one all over."""
    field, *_, dense = patterns(lattice)[1:] * 2
    plain = Infill(pattern=field.slug, filament="Tea")
    design = Design(
        lattice=lattice,
        angle_deg=Decimal(angle),
        columns=columns,
        rows=rows,
        cell_side_mm=Decimal(side),
        side_play_percent=Decimal(0),
        edging_width_mm=Decimal(edging),
        infill_strip_mm=Decimal(infill_strip),
        lattice_filament="Walnut",
        edging_filament="Walnut",
        arrangement=BorderAndField(border=Infill(pattern=dense.slug, filament="Indigo"), field=plain)
        if border
        else AllOver(infill=plain),
    )
    room = (Decimal(10_000),)
    return compose(design, best_fit(design, Space(widths_mm=room, heights_mm=room)))


def _three_way(columns: int, rows: int, side: float):  # type: ignore[no-untyped-def]
    for c in range(columns):
        for r in range(rows + 1):
            turned = (c + r) % 2
            facing = turned + 2 if r == rows else turned
            half = r in (0, rows)
            shape = SHAPES.index(HALF_HANDS[facing]) if half else 0
            yield c, r, (c + 0.5) * side * sqrt(3) / 2, r * side / 2, shape, facing


def _square(columns: int, rows: int, side: float):  # type: ignore[no-untyped-def]
    for c in range(columns):
        for r in range(rows):
            yield c, r, (c + 0.5) * side, (r + 0.5) * side, 0, (c + r) % 2


def _cell(lattice: LatticeKind, shape: int, facing: int, side: float) -> Polygon:
    return Polygon(cell_corners(lattice, SHAPES[shape], facing, side))


def _opening(lattice: LatticeKind, shape: int, facing: int, side: float) -> Polygon:
    return _cell(lattice, shape, facing, side).buffer(-STRIP / 2, join_style="mitre")


def _star(lattice: LatticeKind, shape: int, facing: int, side: float) -> Piece:
    """Bars from the middle to each corner, cut to the opening less the play."""
    cell = _cell(lattice, shape, facing, side)
    bars = [LineString([cell.centroid, corner]).buffer(1) for corner in cell.exterior.coords[:-1]]
    outline = union_all(bars) & cell.buffer(-STRIP / 2 - PLAY, join_style="mitre")
    return Piece("star", "Star", SHAPES[shape], facing, f"star {SHAPES[shape]}", outline, False, "crush rib")


def _areas(lattice: LatticeKind, side: float) -> tuple[float, ...]:
    whole = side**2 * (sqrt(3) / 4 if lattice == "three-way" else 1)
    share = {"whole": 1, "half": 2, "quarter": 4}
    return tuple(whole / share[shape.partition(",")[0]] for shape in SHAPES)


def _design(lattice: LatticeKind, side: float, edging: str) -> Design:
    return Design(
        lattice=lattice,
        cell_side_mm=Decimal(str(side)),
        edging_width_mm=Decimal(edging),
        lattice_filament="Walnut",
        edging_filament="Walnut",
        arrangement=AllOver(infill=Infill(pattern="star", filament="Tea")),
    )
