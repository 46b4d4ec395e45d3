"""A composed panel: every cell with its place, shape, pattern and colour, as arrays."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from shapely import Polygon

from studio.lattice.arrange import Arranged, arrange
from studio.lattice.cell import cell_polygon, opening_polygon
from studio.lattice.cells import Cells, cells_of
from studio.lattice.cut import LEAST_STRIP_MM
from studio.lattice.design import Design, TouchUp, backing_word
from studio.lattice.fit import Fit
from studio.lattice.pattern import Pattern
from studio.lattice.patterns import pattern_of
from studio.lattice.piece import Piece, piece_for
from studio.lattice.shapes import SHAPES
from studio.problem import Problem, Refused, refuse_all
from studio.voice import at_least, at_most, count, length, said

__all__ = ["SHAPES", "Composition", "Piece", "compose"]

FACINGS = 4
MOST_CELLS = 40_000
"""Ten times a very large panel: beyond it an answer takes longer than a call can wait."""
KINDS = len(SHAPES) * FACINGS
"""A kind is a shape in a facing, numbered shape * FACINGS + facing."""


@dataclass(frozen=True, eq=False)
class Composition:
    """Arrays run over the n cells of the panel, in stable order (column, row). Origin: the lower left
    crossing of the outer strips' centre lines; x to the right, y up, mm. All arrays are read-only.

    column, row (n,) int: stable address. x, y (n,) float: the cell's reference point. shape (n,) int: index
    into SHAPES. facing (n,) int: index of the orientation. piece (n,) int: index into `pieces`, -1 for an
    open cell. filament (n,) int: index into `filaments`, -1 for an open cell. area_mm2 of a cell between
    centre lines by shape is `cell_area_mm2[shape]`. `openings[(shape index, facing)]` is the clear opening
    (strip faces, no clearance) in the cell's own coordinates. `outside` are the touch-ups that name a cell
    which the fit does not have.
    """

    design: Design
    fit: Fit
    column: NDArray[np.int32]
    row: NDArray[np.int32]
    x: NDArray[np.float64]
    y: NDArray[np.float64]
    shape: NDArray[np.int8]
    facing: NDArray[np.int8]
    piece: NDArray[np.int16]
    filament: NDArray[np.int16]
    pieces: tuple[Piece, ...]
    filaments: tuple[str, ...]
    cell_area_mm2: tuple[float, ...]
    openings: dict[tuple[int, int], Polygon]
    outside: tuple[TouchUp, ...]


def compose(design: Design, fit: Fit) -> Composition:
    """The panel of a design in a fit. Geometry is made once per distinct pattern, shape and facing; the rest
    is counting.

    Raises Refused for an unknown pattern, one of another lattice or one that cannot be printed at this size,
    for an arrangement that does not fit, strips that are too thin, and infills that stand out too far.
    """
    _refuse_deep(design)
    _refuse_thin(design)
    cells = cells_of(fit)
    _refuse_many(len(cells.x))
    arranged = arrange(design, fit, cells)
    patterns = _patterns(arranged, design)
    kind = cells.shape * np.int16(FACINGS) + cells.facing
    code = arranged.infill * np.int16(KINDS) + kind
    present = np.flatnonzero(np.bincount(code, minlength=KINDS * len(arranged.infills)))
    pieces, piece_of = _pieces(design, fit, patterns, present.tolist())
    piece = piece_of[code]
    filaments, filament_of = _filaments(arranged, present[piece_of[present] >= 0] // KINDS)
    filament = np.where(piece < 0, np.int16(-1), filament_of[arranged.infill])
    piece.flags.writeable = filament.flags.writeable = False
    return Composition(
        design=design,
        fit=fit,
        **vars(cells),
        piece=piece,
        filament=filament,
        pieces=pieces,
        filaments=filaments,
        cell_area_mm2=_cell_areas(fit),
        openings=_openings(design, fit, cells),
        outside=arranged.outside,
    )


def _refuse_many(cells: int) -> None:
    if cells > MOST_CELLS:
        reason = said(
            "the panel would have {}, more than the {} that are made in one go",
            count(cells, "cell"),
            MOST_CELLS,
        )
        raise Refused.because("design.cell_side_mm", reason, "larger cells, or several panels")


def _refuse_deep(design: Design) -> None:
    """Infills lie flush with the back. What is deeper than the lattice stands out at the front: not before a
    backing, which holds them between itself and the front, nor further than the lattice holds them."""
    deep, lattice = design.infill_depth_mm, design.depth_mm
    stand = said("infills {} deep stand {} out at the front", length(deep), length(deep - lattice))
    if deep > lattice and (what := backing_word(design.backing)):
        reason = said("{}, and before a {} they must lie within the lattice", stand, what)
        remedy = said("at most {}, the depth of the lattice, or no {}", at_most(lattice), what)
        raise Refused.because("design.infill_depth_mm", reason, remedy)
    if deep > 2 * lattice:
        reason = said("{}, more than the {} of lattice that hold them", stand, length(lattice))
        remedy = said("at most {}, or a deeper lattice", at_most(2 * lattice))
        raise Refused.because("design.infill_depth_mm", reason, remedy)


def _refuse_thin(design: Design) -> None:
    """Sections end on centre lines, with half a strip, which is printed as two walls at least, as infills'
    strips are."""
    if (half := design.strip_width_mm / 2) < LEAST_STRIP_MM:
        reason = said(
            "sections end with half a strip of {}, two beads take {}", length(half), length(LEAST_STRIP_MM)
        )
        remedy = said("ground strips of at least {}", at_least(2 * LEAST_STRIP_MM))
        raise Refused.because("design.strip_width_mm", reason, remedy)


def _patterns(arranged: Arranged, design: Design) -> tuple[Pattern, ...]:
    """The pattern of each infill. Raises Refused for those that there are not."""
    found, problems = [], []
    for infill, field in zip(arranged.infills, arranged.fields, strict=True):
        try:
            found.append(pattern_of(design, infill))
        except Refused as refused:
            problems += [Problem(f"{field}.pattern", p.reason, p.remedy) for p in refused.problems]
    refuse_all(problems)
    return tuple(found)


def _pieces(
    design: Design, fit: Fit, patterns: Sequence[Pattern], codes: Sequence[int]
) -> tuple[tuple[Piece, ...], NDArray[np.int16]]:
    """The distinct pieces, and for each code (infill and kind) the index of its piece, -1 where the cell
    stays open."""
    strips = float(design.strip_width_mm), float(design.infill_strip_mm), float(design.clearance_mm)
    found: dict[tuple[str, int], Piece | None] = {}
    places: dict[tuple[str, int], int] = {}
    piece_of = np.full(KINDS * len(patterns), -1, dtype=np.int16)
    for code in codes:
        infill, kind = divmod(code, KINDS)
        shape, facing = divmod(kind, FACINGS)
        key = patterns[infill].slug, kind
        if key not in found:
            found[key] = piece_for(
                patterns[infill], fit.lattice, SHAPES[shape], facing, fit.cell_side_mm, *strips, fit.angle_deg
            )
        if found[key] is not None:
            piece_of[code] = places.setdefault(key, len(places))
    return tuple(piece for piece in found.values() if piece is not None), piece_of


def _filaments(arranged: Arranged, used: NDArray[np.int64]) -> tuple[tuple[str, ...], NDArray[np.int16]]:
    """The distinct filaments of the infills that are used, and for each infill the index of its filament,
    else -1."""
    names = [arranged.infills[i].filament for i in sorted(set(used.tolist()))]
    filaments = tuple(dict.fromkeys(names))
    index = [filaments.index(i.filament) if i.filament in filaments else -1 for i in arranged.infills]
    return filaments, np.array(index, dtype=np.int16)


def _cell_areas(fit: Fit) -> tuple[float, ...]:
    whole = cell_polygon(fit.lattice, "whole", 0, fit.cell_side_mm, fit.angle_deg).area
    share = {"whole": 1, "half": 2, "quarter": 4}
    return tuple(whole / share[shape.partition(",")[0]] for shape in SHAPES)


def _openings(design: Design, fit: Fit, cells: Cells) -> dict[tuple[int, int], Polygon]:
    kinds = np.flatnonzero(np.bincount(cells.shape * np.int64(FACINGS) + cells.facing)).tolist()
    inset_mm = float(design.strip_width_mm) / 2
    return {
        divmod(kind, FACINGS): opening_polygon(
            fit.lattice, SHAPES[kind // FACINGS], kind % FACINGS, fit.cell_side_mm, inset_mm, fit.angle_deg
        )
        for kind in kinds
    }
