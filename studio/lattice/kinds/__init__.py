"""The kinds of lattices. A new one is a file here with its object, and a file of patterns."""

from studio.lattice.kinds.diamond import DIAMOND
from studio.lattice.kinds.kind import KINDS, Family, Kind, LatticeKind, kind_of, kinds
from studio.lattice.kinds.square import SQUARE
from studio.lattice.kinds.three_way import THREE_WAY, THREE_WAY_TURNED

__all__ = ["KINDS", "Family", "Kind", "LatticeKind", "kind_of", "kinds"]

KINDS.update((kind.name, kind) for kind in (THREE_WAY, THREE_WAY_TURNED, SQUARE, DIAMOND))
