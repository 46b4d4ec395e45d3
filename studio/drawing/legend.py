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
    """`count` pieces of a pattern (its slug) in a filament of `colour` ("#rrggbb")."""

    pattern: str
    filament: str
    colour: str
    count: int


def legend(composition: Composition, colours: Mapping[str, str]) -> tuple[Entry, ...]:
    """Entries by falling count; open cells are none. Raises Refused for a filament without a colour."""
    filled = composition.piece >= 0
    patterns = tuple(dict.fromkeys(piece.pattern for piece in composition.pieces))
    of_piece = np.array([patterns.index(piece.pattern) for piece in composition.pieces], dtype=int)
    pairs = np.stack((of_piece[composition.piece[filled]], composition.filament[filled]), axis=1)
    kinds, counts = np.unique(pairs, axis=0, return_counts=True)
    entries = []
    for (pattern, filament), count in zip(kinds.tolist(), counts.tolist(), strict=True):
        name = composition.filaments[filament]
        entries.append(Entry(patterns[pattern], name, colour_of(colours, name), count))
    return tuple(sorted(entries, key=lambda entry: (-entry.count, entry.pattern, entry.filament)))
