"""Printed parts of one kind, and how many spares are made besides."""

from dataclasses import dataclass
from math import ceil
from typing import Literal

from studio.lattice.face import Face

__all__ = ["Nests", "Part", "PartCode", "spares_for"]

PartCode = Literal["infill", "section", "rail", "corner", "key", "hanger"]

Nests = Literal["triangle", "rhombus", "box"]


@dataclass(frozen=True, eq=False)
class Part:
    """One kind of printed part: `count` are in the panel, `spares` are made besides. `nests` says how equal
    parts lie on a bed: triangles in alternate pairs, rhombi in sheared rows, everything else in rows of
    boxes."""

    code: PartCode
    pattern: str
    size: str
    filament: str
    face: Face
    depth_mm: float
    count: int
    spares: int
    nests: Nests
    holding: str = ""


def spares_for(count: int, spares_percent: float) -> int:
    """Spares of small parts that get lost or break: the percentage rounded up, at least one."""
    return max(1, ceil(count * spares_percent / 100 - 1e-9))
