"""A number of plates that no plan can come below, to judge how many there are."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil
from typing import Literal

import numpy as np
import shapely
from shapely import Polygon

from studio.lattice.face import Face
from studio.lattice.part import Part
from studio.making.equipment import Filament, Printer
from studio.making.fitting import fit_all
from studio.making.measured import NO_FACTORS, Factors
from studio.making.plate import Plate
from studio.making.setup import setup_of

__all__ = ["PlateBound", "plate_bounds"]

NOISE = 1e-9

Limit = Literal["bed", "large pieces", "longest run", "spool"]


@dataclass(frozen=True, slots=True)
class PlateBound:
    """Plates of one filament on one printer kind, a bound that is proven and that perhaps no plan reaches,
    and what says so: the area of the bed, pieces of which no two lie on one bed, the printer's longest run,
    or one spool a plate."""

    filament: str
    printer: str
    plates: int
    bound: int
    limit: Limit


def plate_bounds(
    plates: Sequence[Plate],
    parts: Sequence[Part],
    printers: Sequence[Printer],
    filaments: Sequence[Filament],
    factors: Factors = NO_FACTORS,
) -> tuple[PlateBound, ...]:
    """A bound for each filament and printer kind, for the pieces that were given to that kind. Pieces count
    with half the gap round them, on a bed that is as much larger, and their openings are free for others:
    none of the bounds can be beaten, however pieces are turned."""
    fits = fit_all(parts, printers, filaments, factors)
    by_name = {filament.name: filament for filament in filaments}
    pairs = dict.fromkeys((plate.filament, plate.printer) for plate in plates)
    found = []
    for filament, name in pairs:
        index = next(i for i, printer in enumerate(printers) if printer.name == name)
        own = [plate for plate in plates if (plate.filament, plate.printer) == (filament, name)]
        counts = [(item.part, item.count) for plate in own for item in plate.parts]
        printer = printers[index]
        setup = setup_of(printer, by_name[filament], factors)
        minutes = sum(count * fits[part][index].total_s for part, count in counts) / 60
        grams = sum(count * fits[part][index].mass_g for part, count in counts)
        limits: dict[Limit, float] = {
            "bed": sum(count * _grown_mm2(parts[part].face, printer.gap_mm) for part, count in counts)
            / _bed_mm2(printer),
            "large pieces": sum(count for part, count in counts if _large(parts[part], printer)),
            "longest run": minutes / setup.longest_minutes,
            "spool": grams / (by_name[filament].spool_g - printer.start_g),
        }
        limit = max(limits, key=lambda key: ceil(limits[key] - NOISE))
        found.append(PlateBound(filament, name, len(own), ceil(limits[limit] - NOISE), limit))
    return tuple(found)


def _bed_mm2(printer: Printer) -> float:
    width, depth = printer.usable_mm
    return (width + printer.gap_mm) * (depth + printer.gap_mm)


def _grown_mm2(face: Face, gap_mm: float) -> float:
    """Its material with half the gap round it, in its openings too."""
    outside = Polygon(face.rings[0].points).buffer(gap_mm / 2).area
    holes = (hole.count * Polygon(hole.points).buffer(-gap_mm / 2).area for hole in face.rings[1:])
    return float(outside - sum(holes))


def _large(part: Part, printer: Printer) -> bool:
    """Whether a square of over half the bed's longer side lies in it, and none in its openings: of two such
    squares no two lie apart in the bed (the sides of two squares in a larger one add up to its side at most:
    Erdős, from memory), and so no two such pieces."""
    face, half_mm = part.face, (max(printer.usable_mm) + printer.gap_mm) / 2
    left, low = (face.width_mm - half_mm) / 2, (face.height_mm - half_mm) / 2
    square = shapely.box(left, low, left + half_mm, low + half_mm)
    outline, holes = face.rings[0].points, face.rings[1:]
    grown = Polygon(outline - outline.min(axis=0)).buffer(printer.gap_mm / 2)
    narrow = all(min(np.ptp(hole.points, axis=0)) < half_mm for hole in holes)
    return narrow and bool(grown.contains_properly(square))
