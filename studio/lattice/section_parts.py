"""Sections as parts: equal ones are one kind."""

from collections.abc import Sequence

import numpy as np
import shapely

from studio.lattice.cells import SHAPES, address_rows, crossing, span
from studio.lattice.composition import Composition
from studio.lattice.face import Face, Ring, face_of_rings, ring
from studio.lattice.fit import Fit
from studio.lattice.part import Part
from studio.lattice.sections import Section, section_of

__all__ = ["section_parts"]

Kind = tuple[int, ...]


def section_parts(composition: Composition, sections: Sequence[Section]) -> tuple[Part, ...]:
    """Sections by shape, lettered in order. No spares: a section lost is a plate lost, and reprints cover
    plates."""
    kinds: dict[Kind, list[int]] = {}
    for index, section in enumerate(sections):
        kinds.setdefault(_kind(composition.fit, section), []).append(index)
    openings = _openings(composition, sections)
    return tuple(
        _part(composition, _letter(i), sections[of_kind[0]], openings[of_kind[0]], len(of_kind))
        for i, of_kind in enumerate(kinds.values())
    )


def _part(
    composition: Composition, letter: str, section: Section, openings: Sequence[int], count: int
) -> Part:
    return Part(
        code="section",
        pattern="",
        size=f"{letter}, {section.columns} × {section.rows}",
        filament=composition.design.lattice_filament,
        face=_face(composition, section, openings),
        depth_mm=float(composition.design.depth_mm),
        count=count,
        spares=0,
        nests="box",
    )


def _kind(fit: Fit, section: Section) -> Kind:
    """The same for sections that are equal or turns of each other by 180 degrees. In a three-way lattice that
    takes equal counts, whether the first cell is turned, and whether the lower and the upper end are
    straight."""
    counts = section.columns, section.rows
    if fit.lattice == "square":
        return counts
    turned = (section.column + section.row) % 2
    bottom, top = section.row == 0, section.row + section.rows == address_rows(fit)
    return *counts, *min((turned, bottom, top), ((turned + sum(counts) + 1) % 2, top, bottom))


def _letter(index: int) -> str:
    """A to Z, then AA, AB and so on."""
    before = _letter(index // 26 - 1) if index >= 26 else ""
    return before + chr(ord("A") + index % 26)


def _openings(composition: Composition, sections: Sequence[Section]) -> list[list[int]]:
    """For each section, how many openings of each shape it has; the facings of a shape are turns of each
    other."""
    owner = section_of(composition.fit, sections).astype(np.int64)
    codes = owner * len(SHAPES) + composition.shape
    table = np.bincount(codes, minlength=len(sections) * len(SHAPES)).reshape(-1, len(SHAPES))
    return [[int(count) for count in row] for row in table]


def _face(composition: Composition, section: Section, openings: Sequence[int]) -> Face:
    """The area of the section's cells less their openings, along the centre lines of the strips around it."""
    clear = {shape: opening for (shape, _), opening in sorted(composition.openings.items(), reverse=True)}
    counts = [(shape, count) for shape, count in enumerate(openings) if count]
    holes = [
        ring(shapely.get_coordinates(clear[shape])[:-1], hole=True, count=count) for shape, count in counts
    ]
    area_mm2 = sum(count * (composition.cell_area_mm2[shape] - clear[shape].area) for shape, count in counts)
    return face_of_rings([_outline(composition.fit, section), *holes], area_mm2)


def _outline(fit: Fit, section: Section) -> Ring:
    """Anticlockwise from the lower left; level seams of a three-way lattice zigzag from column to column."""
    column_mm, row_mm = fit.lattice_width_mm / fit.columns, fit.lattice_height_mm / fit.rows
    end = section.row + section.rows
    lowest, _ = span(fit, section.row, end)
    bottom, top = _edge(fit, section, section.row), _edge(fit, section, end)
    return ring([(i * column_mm, (j - lowest) * row_mm) for i, j in (*bottom, *reversed(top))])


def _edge(fit: Fit, section: Section, row: int) -> list[tuple[int, int]]:
    """Corners of the line below `row`: columns from the section's left, and heights in rows from the panel's
    bottom."""
    edge = [(i, crossing(fit, section.column + i, row)) for i in range(section.columns + 1)]
    straight = len({height for _, height in edge}) == 1
    return [edge[0], edge[-1]] if straight else edge
