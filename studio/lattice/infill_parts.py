"""Infill pieces as parts: one kind per printed piece and filament."""

from functools import lru_cache

import numpy as np
from shapely.affinity import rotate

from studio.lattice.composition import Composition, Piece
from studio.lattice.design import LatticeKind
from studio.lattice.face import Face, face_of_polygon
from studio.lattice.part import Nests, Part, spares_for
from studio.lattice.shapes import family_of

__all__ = ["infill_parts"]


def infill_parts(composition: Composition, spares_percent: float) -> tuple[Part, ...]:
    """Counts of infills by what is printed and its filament; facings that are turns of each other are one
    kind."""
    pieces, filaments = composition.pieces, composition.filaments
    filled = composition.piece >= 0
    codes = composition.piece[filled].astype(np.int64) * max(1, len(filaments)) + composition.filament[filled]
    counts: dict[tuple[str, int], int] = {}
    of_kind: dict[tuple[str, int], Piece] = {}
    for code, count in enumerate(np.bincount(codes).tolist()):
        if count:
            piece, filament = divmod(code, len(filaments))
            key = pieces[piece].made_as, filament
            counts[key] = counts.get(key, 0) + count
            of_kind.setdefault(key, pieces[piece])
    return tuple(
        _part(composition, of_kind[key], filaments[key[1]], count, spares_percent)
        for key, count in counts.items()
    )


def _part(composition: Composition, piece: Piece, filament: str, count: int, spares_percent: float) -> Part:
    return Part(
        code="infill",
        pattern=piece.pattern,
        size=piece.made_as.removeprefix(f"{piece.pattern}, "),
        filament=filament,
        face=_face(piece, composition.fit.lattice),
        depth_mm=float(composition.design.infill_depth_mm),
        count=count,
        spares=spares_for(count, spares_percent),
        nests=_nests(composition.fit.lattice, piece.shape),
        holding=piece.holding,
    )


def _nests(lattice: LatticeKind, shape: str) -> Nests:
    """As their cells do: halves and quarters of rhombi are triangles."""
    family = family_of(lattice)
    if family == "square":
        return "box"
    return "rhombus" if family == "diamond" and shape == "whole" else "triangle"


@lru_cache(maxsize=512)
def _face(piece: Piece, lattice: LatticeKind) -> Face:
    """The piece in one turn, whichever of its facings the panel has: as in facing 0 of the lattice that is
    not turned, halves as at the panel's bottom or left. Pieces are compared by identity, and `piece_for`
    gives one object for equal pieces."""
    back = -90 if lattice == "three-way turned" else 0
    later = {"whole": (1,), "quarter, left hand": (2, 3), "quarter, right hand": (2, 3)}
    halves = (2, 3) if family_of(lattice) == "three-way" else (1,)
    upside_down = piece.facing in later.get(piece.shape, halves)
    if piece.shape == "whole" and family_of(lattice) != "three-way":
        upside_down = False  # a mirror image, not a turn
    return face_of_polygon(rotate(piece.outline, back + 180 * upside_down, origin=(0, 0)))
