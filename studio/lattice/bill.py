"""The bill of pieces: every part of a panel, counted."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from studio.lattice.composition import Composition
from studio.lattice.design import WayIn
from studio.lattice.edging import edging_parts
from studio.lattice.face import Face, Ring
from studio.lattice.fit import Fit
from studio.lattice.hangers import HANGERS_PER_MODULE
from studio.lattice.infill_parts import infill_parts
from studio.lattice.modules import Module
from studio.lattice.part import Part, PartCode
from studio.lattice.section_parts import key_parts, section_parts
from studio.lattice.sections import BedLimit, Seam, Section, divide
from studio.lattice.shapes import SHAPES
from studio.lattice.split import Cuts

__all__ = [
    "LIGHT_PITCH_MM", "BedLimit", "Bill", "Face", "Module", "Part", "PartCode", "Ring", "Seam", "Section",
    "bill_of", "count_cells",
]  # fmt: skip

LIGHT_PITCH_MM = 80.0
"""Distance between rows of light strip behind a diffuser: common practice, no source."""


@dataclass(frozen=True, eq=False)
class Bill:
    """Every piece of an option. `cells` counts whole, half, quarter; `open_cells` those without an infill:
    infill counts + open cells = cells. Areas and lengths are of the whole panel."""

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


def bill_of(
    composition: Composition,
    beds: Sequence[BedLimit],
    way_in: WayIn,
    key_spacing_mm: float,
    spares_percent: float,
    cuts: Cuts | None = None,
) -> Bill:
    """The bill of a composed panel made on printers with these usable beds, in sections by these cuts or else
    in as few as can be. Lengths in mm.

    `hangers` are two per module; whether they hold, `check_hangers` says once the mass is known. Raises
    Refused when a printer, the way in or the edging does not suit.
    """
    design, fit = composition.design, composition.fit
    sections, seams, modules = divide(fit, design, beds, way_in, key_spacing_mm, cuts)
    parts = (
        *infill_parts(composition, spares_percent),
        *section_parts(composition, sections),
        *edging_parts(design, fit, sections, modules, beds),
        *key_parts(design, seams, spares_percent),
    )
    area_mm2 = fit.width_mm * fit.height_mm
    return Bill(
        fit=fit,
        cells=count_cells(composition.shape),
        open_cells=int((composition.piece < 0).sum()),
        parts=parts,
        sections=sections,
        seams=seams,
        modules=modules,
        backing_area_mm2=area_mm2 if design.backing != "none" else 0.0,
        light_length_mm=area_mm2 / LIGHT_PITCH_MM if design.lit else 0.0,
        hangers=HANGERS_PER_MODULE * len(modules),
        colours=len({part.filament for part in parts}),
    )


def count_cells(shapes: NDArray[np.int8]) -> tuple[int, int, int]:
    """Whole, half and quarter cells among these shapes of cells."""
    found = {"whole": 0, "half": 0, "quarter": 0}
    for shape, count in zip(SHAPES, np.bincount(shapes, minlength=len(SHAPES)).tolist(), strict=True):
        found[shape.partition(",")[0]] += count
    return found["whole"], found["half"], found["quarter"]
