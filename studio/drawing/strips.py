"""The ground lattice and the edging as seen from the front, as few long polygons instead of parts of
every cell."""

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon

from studio.drawing.rings import TENTHS
from studio.drawing.sheet import Segment
from studio.lattice.cell import cell_corners
from studio.lattice.composition import SHAPES, Composition

__all__ = ["edging_rails", "lattice_strips", "strip_lines"]

SAME_MM = 1e-3
"""Lines nearer to each other than this are one line."""


def lattice_strips(composition: Composition) -> list[Polygon]:
    """Every strip as a polygon, mm, y up, cut at the centre lines of the outer strips; they overlap where
    they cross.

    A strip runs along each distinct line through the cells' sides.
    """
    fit = composition.fit
    half = float(composition.design.strip_width_mm) / 2
    reach = fit.lattice_width_mm + fit.lattice_height_mm
    angles, offsets = _lines(composition).T
    along = np.stack((np.cos(angles), np.sin(angles)), axis=1)
    normal = np.stack((-along[:, 1], along[:, 0]), axis=1)
    middle = normal * offsets[:, None]
    corners = np.stack(
        [middle + a * reach * along + n * half * normal for a, n in ((-1, -1), (1, -1), (1, 1), (-1, 1))],
        axis=1,
    )
    panel = shapely.box(0, 0, fit.lattice_width_mm, fit.lattice_height_mm)
    cut = shapely.intersection(shapely.polygons(corners), np.array([panel]))
    return [strip for strip in cut.tolist() if isinstance(strip, Polygon) and strip.area > SAME_MM]


def strip_lines(composition: Composition) -> list[Segment]:
    """The strips' centre lines within the lattice, in drawing units."""
    fit = composition.fit
    reach = fit.lattice_width_mm + fit.lattice_height_mm
    angles, offsets = _lines(composition).T
    along = np.stack((np.cos(angles), np.sin(angles)), axis=1)
    middle = np.stack((-along[:, 1], along[:, 0]), axis=1) * offsets[:, None]
    lines = shapely.linestrings(np.stack((middle - reach * along, middle + reach * along), axis=1))
    panel = shapely.box(0, 0, fit.lattice_width_mm, fit.lattice_height_mm)
    cut = shapely.intersection(lines, np.array([panel]))
    ends = shapely.get_coordinates(cut[shapely.length(cut) > SAME_MM]).reshape(-1, 4)
    return [(a, -b, c, -d) for a, b, c, d in (TENTHS * (ends - (0, fit.lattice_height_mm) * 2)).tolist()]


def _lines(composition: Composition) -> NDArray[np.float64]:
    """Distinct lines (m, 2): direction in radians in [0, pi) and signed distance from the origin."""
    kinds = np.unique(np.stack((composition.shape, composition.facing), axis=1), axis=0)
    found = []
    for shape, facing in kinds.tolist():
        of_kind = (composition.shape == shape) & (composition.facing == facing)
        places = np.stack((composition.x[of_kind], composition.y[of_kind]), axis=1)
        found.extend(_side_lines(composition, SHAPES[shape], facing, places))
    lines = np.concatenate(found)
    _, first = np.unique(np.rint(lines / SAME_MM), axis=0, return_index=True)
    return lines[np.sort(first)]


def _side_lines(
    composition: Composition, shape: str, facing: int, places: NDArray[np.float64]
) -> list[NDArray[np.float64]]:
    corners = np.array(cell_corners(composition.fit.lattice, shape, facing, composition.fit.cell_side_mm))
    lines = []
    for a, b in zip(corners, np.roll(corners, -1, axis=0), strict=True):
        angle = round(float(np.arctan2(*(b - a)[::-1])) % np.pi, 9) % round(np.pi, 9)
        offsets = _distinct((places + a) @ (-np.sin(angle), np.cos(angle)))
        lines.append(np.stack((np.full(len(offsets), angle), offsets), axis=1))
    return lines


def _distinct(values: NDArray[np.float64]) -> NDArray[np.float64]:
    _, first = np.unique(np.rint(values / SAME_MM), return_index=True)
    return values[first]


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
