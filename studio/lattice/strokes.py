"""Strokes given width: a pattern's data drawn as material."""

from collections.abc import Iterable
from math import acos, ceil, radians
from typing import NamedTuple, assert_never

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LineString, MultiLineString, Polygon
from shapely.geometry.base import BaseGeometry

from studio.lattice.kinds import LatticeKind, kind_of
from studio.lattice.pattern import Arc, Fill, Line

__all__ = ["ARC_TOLERANCE_MM", "CellScale", "arc_points", "path_of", "scale_of", "stroke_material"]

ARC_TOLERANCE_MM = 0.05
"""How far an arc drawn as chords may lie from the true arc."""


class CellScale(NamedTuple):
    """Millimetres that a pattern's units of x, y and radius stand for (pattern.py)."""

    x_mm: float
    y_mm: float
    radius_mm: float


def scale_of(lattice: LatticeKind, side_mm: float, angle_deg: float = 60.0) -> CellScale:
    return CellScale(*kind_of(lattice).units_mm(side_mm, angle_deg))


def stroke_material(strokes: Iterable[Line | Arc | Fill], scale: CellScale, width_mm: float) -> BaseGeometry:
    """The strokes of a cell, lines and arcs `width_mm` wide, joined to one area; not yet cut to the opening.

    Corners of a polyline are mitred and ends are flat; where strokes meet, no angle between neighbours may
    exceed 180 degrees, or the flat ends would leave a notch.
    """
    lines, fills = [], []
    for stroke in strokes:
        if isinstance(stroke, Fill):
            fills.append(Polygon(np.multiply(stroke.points, scale[:2])))
        else:
            lines.append(path_of(stroke, scale))
    bands = MultiLineString(lines).buffer(width_mm / 2, cap_style="flat", join_style="mitre")
    return shapely.union_all([bands, *fills])


def arc_points(arc: Arc, scale: CellScale) -> NDArray[np.float64]:
    """Points (k, 2) mm on the arc, so near that no chord lies more than ARC_TOLERANCE_MM off it."""
    radius = arc.radius * scale.radius_mm
    start, end = radians(arc.start_deg), radians(arc.end_deg)
    step = 2 * acos(1 - min(ARC_TOLERANCE_MM / radius, 1.0))
    angles = np.linspace(start, end, max(2, ceil((end - start) / step)) + 1)
    return np.multiply(arc.centre, scale[:2]) + radius * np.column_stack((np.cos(angles), np.sin(angles)))


def path_of(stroke: Line | Arc | Fill, scale: CellScale) -> LineString:
    """The centre line of a stroke, the edge of a fill, in mm."""
    match stroke:
        case Line():
            return LineString(np.multiply(stroke.points, scale[:2]))
        case Fill():
            return LineString(np.multiply((*stroke.points, stroke.points[0]), scale[:2]))
        case Arc():
            points = arc_points(stroke, scale)
            if stroke.end_deg - stroke.start_deg >= 360:
                points[-1] = points[0]  # closed to the bit, or the ring would have two ends
            return LineString(points)
        case _:
            assert_never(stroke)
