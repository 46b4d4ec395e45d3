"""Sections as parts, equal ones as one kind, and the keys along their seams: small double dovetails let into
the back, where strips cross the seam."""

from collections.abc import Sequence

import numpy as np
import shapely
from shapely import Polygon

from studio.lattice.axis import Axis
from studio.lattice.cells import crossing, crossing_across
from studio.lattice.composition import Composition
from studio.lattice.cut import BEAD_MM, LEAST_STRIP_MM
from studio.lattice.design import Design
from studio.lattice.face import Face, Ring, face_of_polygon, face_of_rings, ring
from studio.lattice.fit import Fit
from studio.lattice.part import Part, spares_for
from studio.lattice.sections import Seam, Section, section_of
from studio.lattice.shapes import SHAPES
from studio.problem import Refused
from studio.voice import Said, at_least, length, said

__all__ = ["key_parts", "kinds_of", "outline_of", "section_parts"]

Kind = tuple[int, ...]
KEY_LENGTH_MM, KEY_END_MM, KEY_DEPTH_MM = 12.0, 2.4, 3.0
"""Size of a key where strips have room for it: common practice, no source."""
END_TO_WAIST = 1.5


def section_parts(composition: Composition, sections: Sequence[Section]) -> tuple[Part, ...]:
    """Sections by shape, lettered in order. No spares: a section lost is a plate lost, and reprints cover
    plates."""
    openings = _openings(composition, sections)
    return tuple(
        _part(composition, _letter(i), sections[of_kind[0]], openings[of_kind[0]], len(of_kind))
        for i, of_kind in enumerate(kinds_of(composition.fit, sections))
    )


def kinds_of(fit: Fit, sections: Sequence[Section]) -> tuple[list[int], ...]:
    """Indices of the sections that are printed alike: one list for each of the section parts, in order."""
    kinds: dict[Kind, list[int]] = {}
    for index, section in enumerate(sections):
        kinds.setdefault(_kind(fit, section), []).append(index)
    return tuple(kinds.values())


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
    """The same for sections that are equal or turns of each other by 180 degrees. Where lines zigzag that
    takes equal counts, whether the first cell is turned, and which ends lie at the panel's edge and are
    straight."""
    counts = section.columns, section.rows
    if fit.kind.straight:
        return counts
    ends = _ends(fit.across, section.column, section.columns) + _ends(fit.up, section.row, section.rows)
    first = (section.column + section.row) % 2
    last = (first + sum(counts) + (not fit.kind.every_other)) % 2
    turned = last, ends[1], ends[0], ends[3], ends[2]
    return *counts, *min((first, *ends), turned)


def _ends(axis: Axis, first: int, count: int) -> tuple[int, int]:
    """Whether a section begins and ends straight, at the panel's edge, where other ends zigzag."""
    return int(axis.zigzag and first == 0), int(axis.zigzag and first + count == axis.addresses)


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
    return face_of_rings([outline_of(composition.fit, section), *holes], area_mm2)


def outline_of(fit: Fit, section: Section) -> Ring:
    """Anticlockwise from the lower left. Where both families of seams zigzag, two of them meet at a side of
    the cell in the corner, or in a point."""
    columns = range(section.column, section.column + section.columns + (not fit.across.zigzag))
    rows = range(section.row, section.row + section.rows + (not fit.up.zigzag))
    right, top = section.column + section.columns, section.row + section.rows
    points: list[tuple[int, int]] = []
    if fit.up.zigzag or not fit.across.zigzag:
        points += [(i, crossing(fit, i, section.row)) for i in columns]
    if fit.across.zigzag:
        points += [(crossing_across(fit, right, j), j) for j in rows]
    if fit.up.zigzag or not fit.across.zigzag:
        points += [(i, crossing(fit, i, top)) for i in reversed(columns)]
    if fit.across.zigzag:
        points += [(crossing_across(fit, section.column, j), j) for j in reversed(rows)]
    left, low = fit.across.span(section.column, right)[0], fit.up.span(section.row, top)[0]
    across_mm, up_mm = fit.across.step_mm, fit.up.step_mm
    return ring([((i - left) * across_mm, (j - low) * up_mm) for i, j in _corners(points)])


def _corners(points: list[tuple[int, int]]) -> list[tuple[int, int]]:
    """The points at which a closed line turns."""
    apart = [p for p, before in zip(points, points[-1:] + points[:-1], strict=True) if p != before]
    around = zip(apart[-1:] + apart[:-1], apart, apart[1:] + apart[:1], strict=True)
    return [(i, j) for (h, k), (i, j), (m, n) in around if (i - h) * (n - j) != (j - k) * (m - i)]


def key_parts(design: Design, seams: Sequence[Seam], spares_percent: float) -> tuple[Part, ...]:
    """The keys of all seams; none for a lattice in one section. Their pockets go half through the lattice at
    most. Raises Refused where strips are too narrow for any."""
    count = sum(seam.keys for seam in seams)
    if not count:
        return ()
    end_mm = _key_end_mm(design)
    size = f"{KEY_LENGTH_MM:g} × {end_mm:g} mm"
    part = Part(
        code="key",
        pattern="",
        size=Said("{} × {}", length(KEY_LENGTH_MM), length(end_mm), plain=size),
        filament=design.lattice_filament,
        face=face_of_polygon(_outline(end_mm)),
        depth_mm=min(KEY_DEPTH_MM, float(design.depth_mm) / 2),
        count=count,
        spares=spares_for(count, spares_percent),
        nests="box",
    )
    return (part,)


def _key_end_mm(design: Design) -> float:
    """The strip less its play and a bead on either side, for its pocket's walls."""
    beside_mm = 2 * (BEAD_MM + float(design.clearance_mm))
    end_mm = round(min(KEY_END_MM, float(design.strip_width_mm) - beside_mm), 2)
    if end_mm < (least_mm := LEAST_STRIP_MM * END_TO_WAIST):
        reason = "a key across a seam would be {} wide in strips of {}, and it takes {}"
        sizes = length(max(end_mm, 0)), length(design.strip_width_mm), length(least_mm)
        remedy = "ground strips of at least {}, or a bed that takes the panel in one section"
        raise Refused.because(
            "design.strip_width_mm", said(reason, *sizes), said(remedy, at_least(least_mm + beside_mm))
        )
    return end_mm


def _outline(end_mm: float) -> Polygon:
    along, end, waist = KEY_LENGTH_MM / 2, end_mm / 2, end_mm / END_TO_WAIST / 2
    return Polygon([(-along, -end), (0, -waist), (along, -end), (along, end), (0, waist), (-along, end)])
