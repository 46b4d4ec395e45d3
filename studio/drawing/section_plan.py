"""Where the ground lattice is divided: sections printed in one go, modules carried as one part."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon

from studio.drawing.elevation import screen_pen
from studio.drawing.layers import panel_up
from studio.drawing.markup import hairline, letter_text, svg
from studio.drawing.regions import cell_polygons, joined
from studio.drawing.rings import PER_MM
from studio.drawing.sheet import Lettering, frame_of
from studio.lattice.bill import Section
from studio.lattice.composition import Composition
from studio.lattice.sections import section_of
from studio.voice import PLAIN, Voice

__all__ = ["section_plan_svg"]

SEAM_PX, MODULE_PX = 1.0, 2.6
"""A joint between modules is drawn heavier than a seam between sections."""


def section_plan_svg(
    composition: Composition, sections: Sequence[Section], *, title: str, ident: str, voice: Voice = PLAIN
) -> str:
    """Sections seen from the front, along centre lines, numbered from 1 in the order given; modules in a
    heavier line. `title` is plain text, `ident` its own on the page."""
    cells, owner = cell_polygons(composition), section_of(composition.fit, sections)
    outlines = _outlines(cells, owner)
    carried = _outlines(cells, np.array([section.module for section in sections])[owner])
    pen = screen_pen(composition)
    numbers = [_number(composition, str(i), parts) for i, parts in enumerate(outlines, 1)]
    content = (
        _lines(composition, "sections", outlines, SEAM_PX)
        + _lines(composition, "modules", carried, MODULE_PX)
        + letter_text([replace(number, y=number.y + pen.capital / 2) for number in numbers], pen)
    )
    told = f"{voice.count(len(sections), 'section')} in {voice.count(len(carried), 'module')}"
    told += ", seen from the front."
    frame = frame_of(composition).around(pen.unit)
    return svg(frame, content, title=title, describe=told, ident=ident, class_="drawing section-plan")


def _outlines(cells: NDArray[np.object_], owner: NDArray[np.integer]) -> list[list[Polygon]]:
    """What each owner's cells cover together, by the owner's number."""
    order = np.argsort(owner, kind="stable")
    ends = np.flatnonzero(np.diff(owner[order])) + 1
    return [joined(own) for own in np.split(cells[order], ends)]


def _lines(composition: Composition, class_: str, outlines: list[list[Polygon]], width: float) -> str:
    data = "".join(panel_up(composition, parts) for parts in outlines)
    return hairline(class_, data, width, stroke_linejoin="round")


def _number(composition: Composition, text: str, parts: list[Polygon]) -> Lettering:
    middle = shapely.point_on_surface(shapely.union_all(parts))
    height = composition.fit.lattice_height_mm
    return Lettering(text, PER_MM * middle.x, PER_MM * (height - middle.y), 0)
