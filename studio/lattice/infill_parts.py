"""Infill pieces as parts: one kind per printed piece and filament."""

import numpy as np
from shapely.affinity import rotate

from studio.lattice.composition import Composition, Piece
from studio.lattice.face import Face, face_of_polygon
from studio.lattice.kinds import Kind
from studio.lattice.part import Part, spares_for
from studio.lattice.shapes import form_of
from studio.memo import memo

__all__ = ["infill_parts", "size_of"]


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


def size_of(piece: Piece) -> str:
    """The size of the part that the piece is made as; with pattern and filament it tells which part that
    is."""
    return piece.made_as.removeprefix(f"{piece.pattern}, ")


def _part(composition: Composition, piece: Piece, filament: str, count: int, spares_percent: float) -> Part:
    return Part(
        code="infill",
        pattern=piece.pattern,
        size=size_of(piece),
        filament=filament,
        face=_face(piece, composition.fit.kind),
        depth_mm=float(composition.design.infill_depth_mm),
        count=count,
        spares=spares_for(count, spares_percent),
        nests=composition.fit.kind.nests(piece.shape),
        holding=piece.holding,
    )


@memo
def _face(piece: Piece, kind: Kind) -> Face:
    """The piece in one turn, whichever of its facings the panel has: as in facing 0 of the lattice that is
    not turned, halves as at the panel's bottom or left. Pieces are compared by identity, and `piece_for`
    gives one object for equal pieces."""
    upside_down = kind.turns[form_of(piece.shape)][piece.facing][1] < 0
    turn_deg = -90 * kind.turned + 180 * upside_down
    return face_of_polygon(rotate(piece.outline, turn_deg, origin=(0, 0)))
