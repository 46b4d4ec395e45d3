"""Strokes given width: a pattern's data drawn as material."""

from collections.abc import Iterable
from math import acos, ceil, radians

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LineString, MultiLineString, Polygon
from shapely.geometry.base import BaseGeometry

from studio.lattice.pattern import Arc, Fill, Line, Stroke

__all__ = ["ARC_TOLERANCE_MM", "arc_points", "stroke_material"]

ARC_TOLERANCE_MM = 0.05
"""How far an arc drawn as chords may lie from the true arc."""


def stroke_material(strokes: Iterable[Stroke], side_mm: float, width_mm: float) -> BaseGeometry:
    """The strokes of a cell of `side_mm`, lines and arcs `width_mm` wide, joined to one area; not yet cut to
    the opening.

    Corners of a polyline are mitred and ends are flat; where strokes meet, no angle between neighbours may
    exceed 180 degrees, or the flat ends would leave a notch.
    """
    lines, fills = [], []
    for stroke in strokes:
        if isinstance(stroke, Fill):
            fills.append(Polygon(np.multiply(stroke.points, side_mm)))
        else:
            lines.append(_path(stroke, side_mm))
    bands = MultiLineString(lines).buffer(width_mm / 2, cap_style="flat", join_style="mitre")
    return shapely.union_all([bands, *fills])


def arc_points(arc: Arc, side_mm: float) -> NDArray[np.float64]:
    """Points (k, 2) mm on the arc, so near that no chord lies more than ARC_TOLERANCE_MM off it."""
    radius = arc.radius * side_mm
    start, end = radians(arc.start_deg), radians(arc.end_deg)
    step = 2 * acos(1 - min(ARC_TOLERANCE_MM / radius, 1.0))
    angles = np.linspace(start, end, max(2, ceil((end - start) / step)) + 1)
    return np.multiply(arc.centre, side_mm) + radius * np.column_stack((np.cos(angles), np.sin(angles)))


def _path(stroke: Line | Arc, side_mm: float) -> LineString:
    if isinstance(stroke, Line):
        return LineString(np.multiply(stroke.points, side_mm))
    points = arc_points(stroke, side_mm)
    if stroke.end_deg - stroke.start_deg >= 360:
        points[-1] = points[0]  # closed to the bit, or the ring would have two ends
    return LineString(points)
