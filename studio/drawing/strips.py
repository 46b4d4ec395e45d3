"""The ground lattice and the edging as seen from the front, as few long polygons instead of parts of
every cell."""

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon

from studio.drawing.kinds import cells_by_kind
from studio.drawing.rings import PER_MM
from studio.drawing.sheet import Segment
from studio.lattice.cell import cell_corners
from studio.lattice.composition import Composition
from studio.lattice.shapes import Shape

__all__ = ["edging_rails", "lattice_strips", "strip_lines"]

Points = NDArray[np.float64]
SAME_MM = 1e-3
"""Lines nearer to each other than this are one line."""


def lattice_strips(composition: Composition) -> list[Polygon]:
    """Every strip as a polygon, mm, y up, cut at the centre lines of the outer strips; they overlap where
    they cross.

    A strip runs along each distinct line through the cells' sides.
    """
    fit = composition.fit
    half = float(composition.design.strip_width_mm) / 2
    along, normal, middle = _lines(composition)
    along = along * (fit.lattice_width_mm + fit.lattice_height_mm)
    corners = [middle + a * along + n * half * normal for a, n in ((-1, -1), (1, -1), (1, 1), (-1, 1))]
    bands = shapely.polygons(np.stack(corners, axis=1))
    cut = shapely.clip_by_rect(bands, 0, 0, fit.lattice_width_mm, fit.lattice_height_mm)
    parts = shapely.get_parts(cut).tolist()
    return [strip for strip in parts if isinstance(strip, Polygon) and strip.area > SAME_MM]


def strip_lines(composition: Composition) -> list[Segment]:
    """The strips' centre lines within the lattice, in drawing units."""
    fit = composition.fit
    along, _, middle = _lines(composition)
    along = along * (fit.lattice_width_mm + fit.lattice_height_mm)
    lines = shapely.linestrings(np.stack((middle - along, middle + along), axis=1))
    panel = shapely.box(0, 0, fit.lattice_width_mm, fit.lattice_height_mm)
    # unlike a clip, an intersection keeps the lines along the panel's edges
    cut = shapely.get_parts(shapely.intersection(lines, panel))
    ends = shapely.get_coordinates(cut[shapely.length(cut) > SAME_MM]).reshape(-1, 4)
    return [(a, -b, c, -d) for a, b, c, d in (PER_MM * (ends - (0, fit.lattice_height_mm) * 2)).tolist()]


def _lines(composition: Composition) -> tuple[Points, Points, Points]:
    """Each distinct line's direction, its normal and the point nearest to the origin, (m, 2) each.

    Every line leaves the panel somewhere, so it passes along a cell next to the frame: only those are asked.
    """
    fit = composition.fit
    x, y = composition.x, composition.y
    reach = 1.001 * max(fit.cell_side_mm, fit.across.step_mm, fit.up.step_mm)
    right, top = fit.lattice_width_mm - reach, fit.lattice_height_mm - reach
    at_frame = np.flatnonzero((x < reach) | (x > right) | (y < reach) | (y > top))
    places = np.stack((x, y), axis=1)
    found = []
    for shape, facing, cells in cells_by_kind(composition, at_frame):
        found += _side_lines(composition, shape, facing, places[cells])
    angle, offset = _distinct(np.concatenate(found))
    along = np.stack((np.cos(angle), np.sin(angle)), axis=1)
    normal = np.stack((-along[:, 1], along[:, 0]), axis=1)
    return along, normal, normal * offset[:, None]


def _side_lines(composition: Composition, shape: Shape, facing: int, places: Points) -> list[Points]:
    """Direction in radians in [0, pi) and signed distance from the origin, (k, 2) for each side of a cell."""
    fit = composition.fit
    corners = np.array(cell_corners(fit.lattice, shape, facing, fit.cell_side_mm, fit.angle_deg))
    lines = []
    for a, b in zip(corners, np.roll(corners, -1, axis=0), strict=True):
        angle = round(float(np.arctan2(*(b - a)[::-1])) % np.pi, 9) % round(np.pi, 9)
        offsets = (places + a) @ (-np.sin(angle), np.cos(angle))
        lines.append(np.stack((np.full(len(offsets), angle), offsets), axis=1))
    return lines


def _distinct(lines: Points) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    lines = lines[np.lexsort((lines[:, 1], lines[:, 0]))]
    apart = np.any(np.abs(np.diff(lines, axis=0)) > SAME_MM, axis=1)
    angle, offset = lines[np.concatenate(([True], apart))].T
    return angle, offset


def edging_rails(composition: Composition) -> list[Polygon]:
    """The four rails outside the outer strips' centre lines (bottom, right, top, left), mitred; none
    without an edging."""
    edge = float(composition.design.edging_width_mm)
    if not edge:
        return []
    w, h = composition.fit.lattice_width_mm, composition.fit.lattice_height_mm
    inner = [(0, 0), (w, 0), (w, h), (0, h)]
    outer = [(-edge, -edge), (w + edge, -edge), (w + edge, h + edge), (-edge, h + edge)]
    return [Polygon((outer[i], outer[i - 3], inner[i - 3], inner[i])) for i in range(4)]
