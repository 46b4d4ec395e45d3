"""The bill of pieces: every part of a panel, counted."""

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from studio.lattice.fit import Fit

__all__ = ["Bill", "Face", "Module", "Part", "PartCode", "Ring", "Seam", "Section"]

PartCode = Literal["infill", "section", "rail", "corner", "key", "hanger"]


@dataclass(frozen=True, eq=False)
class Ring:
    """A closed outline, (k, 2) mm, first point not repeated; `hole` when material lies outside it; `count` equal rings."""

    points: NDArray[np.float64]
    hole: bool
    count: int = 1


@dataclass(frozen=True, eq=False)
class Face:
    """A part seen from the front: rings (one outer, any holes; equal holes are given once with their count), its area
    and its bounding box. Positions of counted holes do not matter to making."""

    rings: tuple[Ring, ...]
    area_mm2: float
    width_mm: float
    height_mm: float
    digest: str


@dataclass(frozen=True, eq=False)
class Part:
    """One kind of printed part: `count` are in the panel, `spares` are made besides. `nests` says how equal parts lie
    on a bed: triangles in alternate pairs, everything else in rows of boxes."""

    code: PartCode
    pattern: str
    size: str
    filament: str
    face: Face
    depth_mm: float
    count: int
    spares: int
    nests: Literal["triangle", "box"]
    holding: str = ""


@dataclass(frozen=True, slots=True)
class Section:
    """Cells of columns [column, column + columns) and rows [row, row + rows) of the address grid, printed in one go."""

    column: int
    columns: int
    row: int
    rows: int
    width_mm: float
    height_mm: float
    cells: int
    module: int


@dataclass(frozen=True, slots=True)
class Seam:
    """Where two sections meet: indices into Bill.sections, the length along the strips, keys across it, and whether
    it is also a joint between modules, closed on site."""

    first: int
    second: int
    length_mm: float
    keys: int
    on_site: bool


@dataclass(frozen=True, slots=True)
class Module:
    """Sections carried and hung as one part."""

    sections: tuple[int, ...]
    width_mm: float
    height_mm: float


@dataclass(frozen=True, eq=False)
class Bill:
    """Every piece of an option. `cells` counts whole, half, quarter; `open_cells` those without an infill: infill
    counts + open cells = cells. Areas and lengths are of the whole panel."""

    fit: Fit
    cells: tuple[int, int, int]
    open_cells: int
    parts: tuple[Part, ...]
    sections: tuple[Section, ...]
    seams: tuple[Seam, ...]
    modules: tuple[Module, ...]
    backing_area_mm2: float
    light_length_mm: float
    hangers: int
    colours: int

    @property
    def infills(self) -> tuple[Part, ...]:
        return tuple(part for part in self.parts if part.code == "infill")
