"""One print run, and where its pieces lie."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from studio.lattice.face import Face
from studio.lattice.part import Part
from studio.making.equipment import Printer
from studio.making.packing import Batch, PartRun, lies_of, rows, turning

__all__ = ["Plate", "PlatePart", "kinds_for", "lay_out", "placed"]


@dataclass(frozen=True, slots=True)
class PlatePart:
    """`count` equal parts of Bill.parts[part] on a plate."""

    part: int
    count: int


@dataclass(frozen=True, slots=True)
class Plate:
    """One print run: pieces of one filament on one bed; `bed_share` is the area within the outlines of its
    pieces over the usable bed."""

    printer: str
    filament: str
    parts: tuple[PlatePart, ...]
    pieces: int
    minutes: float
    mass_g: float
    bed_share: float


def lay_out(plate: Plate, parts: Sequence[Part], printers: Sequence[Printer]) -> tuple[PartRun, ...]:
    """Where the pieces of a plate lie on the usable bed, as rows of equal parts; `parts` are those of the
    bill."""
    printer = next(printer for printer in printers if printer.name == plate.printer)
    counts = {item.part: item.count for item in plate.parts}
    kinds = kinds_for({part: parts[part] for part in counts}, counts, printer)
    return tuple(rows(kinds, *printer.usable_mm, printer.gap_mm, lambda _, wanted: wanted))


def kinds_for(parts: dict[int, Part], counts: dict[int, int], printer: Printer) -> tuple[Batch, ...]:
    """What to place on a printer's bed, high rows first."""
    lies = {index: lies_of(part, *printer.usable_mm, printer.gap_mm) for index, part in parts.items()}
    kinds = (Batch(index, lies[index], counts[index]) for index in parts if lies[index])
    return tuple(sorted(kinds, key=lambda kind: (-kind.lies[0].row_mm, -kind.lies[0].width_mm, kind.part)))


def placed(run: PartRun, face: Face) -> Iterator[list[NDArray[np.float64]]]:
    """For each piece of a run its rings (k, 2), outer one first, mm from the lower left corner of the usable
    bed, y up. Holes that are counted have no place and are left out."""
    rings = sorted((ring for ring in face.rings if ring.count == 1), key=lambda ring: ring.hole)
    facing = []
    for degrees in (run.lie.turn_degrees, run.lie.turn_degrees + 180):
        turned = [ring.points @ turning(degrees) for ring in rings]
        corner = turned[0].min(axis=0)
        facing.append([points - corner for points in turned])
    for index, corner_mm in enumerate(run.corners_mm()):
        yield [points + corner_mm for points in facing[index % 2]]
