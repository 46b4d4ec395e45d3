"""Which patterns in which colours a panel holds, counted: legends, palettes and what a drawing says to
those who hear it."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from studio.drawing.colour import colour_of
from studio.lattice.composition import Composition

__all__ = ["Entry", "legend"]


@dataclass(frozen=True, slots=True)
class Entry:
    """`count` pieces of a pattern (its slug and its name) in a filament of `colour` ("#rrggbb")."""

    pattern: str
    name: str
    filament: str
    colour: str
    count: int


def legend(composition: Composition, colours: Mapping[str, str]) -> tuple[Entry, ...]:
    """Entries by falling count; open cells are none. Raises Refused for a filament without a colour."""
    filled = composition.piece >= 0
    patterns = tuple(dict.fromkeys((piece.pattern, piece.name) for piece in composition.pieces))
    of_piece = [patterns.index((piece.pattern, piece.name)) for piece in composition.pieces]
    pattern = np.array(of_piece, dtype=int)[composition.piece[filled]]
    counts = np.bincount(composition.filament[filled].astype(int) * len(patterns) + pattern)
    entries = []
    for kind in np.flatnonzero(counts).tolist():
        filament, slug_and_name = kind // len(patterns), patterns[kind % len(patterns)]
        name = composition.filaments[filament]
        entries.append(Entry(*slug_and_name, name, colour_of(colours, name), int(counts[kind])))
    return tuple(sorted(entries, key=lambda entry: (-entry.count, entry.pattern, entry.filament)))
