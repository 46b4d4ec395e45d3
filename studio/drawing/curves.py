"""Outlines of pieces with their arcs: the geometry stands for an arc by short chords, a drawing shows it
whole.

Where corners lie on one circle, an arc goes from the first to the last that takes in as much as the chords
did, so that a piece keeps its area.
"""

from cmath import phase
from dataclasses import dataclass
from itertools import pairwise
from math import ceil, cos, pi, sin
from typing import NamedTuple

import shapely
from shapely import Polygon

from studio.drawing.rings import FLAT_MM, PER_MM

__all__ = ["Curve", "Step", "curves_of"]

OFF_MM, DEEP_MM = 0.002, 0.1
"""How far a corner may lie off an arc's circle, and a chord's middle."""
LEAST_CHORDS = 3
MOST = 2 * pi / 3
"""An arc's angle: larger ones are drawn as several."""
TINY_MM, TINY = 0.3, 0.4 * pi
"""The rounding of a filled wedge, as fine as the nozzle, is drawn straight: nobody could see it, and it would
be a third of all bytes."""


class Step(NamedTuple):
    """From one corner to the next, in drawing units: straight where the radius is 0, else along the shorter
    arc of that radius, anticlockwise on the sheet where it is negative."""

    dx: int
    dy: int
    radius: int = 0


@dataclass(frozen=True, slots=True)
class Curve:
    """A closed ring in drawing units, y down. The last step, where it is straight, is left to closing."""

    x: int
    y: int
    steps: tuple[Step, ...]


def curves_of(polygon: Polygon) -> tuple[Curve, ...]:
    """A polygon's shell (mm, y up), then its holes. Shells run one way and holes the other. Rings that vanish
    in rounding are left out."""
    oriented = shapely.orient_polygons(shapely.simplify(polygon, FLAT_MM))
    rings = shapely.get_rings(oriented)
    found = [_curve([complex(x, -y) for x, y in shapely.get_coordinates(ring)[:-1]]) for ring in rings]
    return tuple(curve for curve in found if len(curve.steps) > 1)


def _curve(corners: list[complex]) -> Curve:
    sharpest = max(range(len(corners)), key=lambda i: _bend(corners[i - 2], corners[i - 1], corners[i])) - 1
    corners = corners[sharpest:] + corners[:sharpest]
    corners.append(corners[0])
    ends, at = [(0, 0.0)], 0
    while at < len(corners) - 1:
        at, radius = _next(corners, at)
        ends.append((at, radius))
    places = [(round(PER_MM * corners[end].real), round(PER_MM * corners[end].imag)) for end, _ in ends]
    steps = [
        Step(x - was_x, y - was_y, round(PER_MM * radius))
        for ((was_x, was_y), (x, y)), (_, radius) in zip(pairwise(places), ends[1:], strict=True)
        if (x, y) != (was_x, was_y)
    ]
    return Curve(*places[0], tuple(steps if steps and steps[-1].radius else steps[:-1]))


def _next(corners: list[complex], at: int) -> tuple[int, float]:
    """The end of the arc or the straight line that begins at a corner, and its radius."""
    end, turned = _run(corners, at)
    if end - at < LEAST_CHORDS:
        return at + 1, 0
    chords = ceil((end - at) / ceil(abs(turned) / MOST))
    wide = _angle(corners[at : at + chords + 1], abs(turned) * chords / (end - at))
    radius = abs(corners[at + chords] - corners[at]) / (2 * sin(wide / 2))
    if radius < TINY_MM and wide < TINY:
        return at + chords, 0
    return at + chords, radius if turned > 0 else -radius


def _run(corners: list[complex], at: int) -> tuple[int, float]:
    """How far corners from `at` on lie on one circle, and the angle to there. Where an arc was cut, its first
    and its last corner lie on a chord, a little inside the circle."""
    if at + LEAST_CHORDS >= len(corners):
        return at, 0
    centre = _centre(*corners[at + 1 : at + 4])
    if centre is None:
        return at, 0
    radius, turned, way, end = abs(corners[at + 1] - centre), 0.0, 0.0, at
    for i in range(at + 1, len(corners)):
        angle = phase((corners[i] - centre) / (corners[i - 1] - centre))
        way = way or angle
        inside = radius - abs(corners[i] - centre)
        deep = radius * (1 - cos(angle / 2))
        if not -OFF_MM < inside < DEEP_MM or deep > DEEP_MM or angle * way <= 0:
            break
        end, turned = i, turned + angle
        if inside > OFF_MM:
            break
    begins_inside = radius - abs(corners[at] - centre)
    return (end, turned) if -OFF_MM < begins_inside < DEEP_MM else (at, 0)


def _centre(a: complex, b: complex, c: complex) -> complex | None:
    """Of the circle through three points; none where they lie on a line."""
    w = (c - a) / (b - a)
    if abs(w.imag) < 1e-9:
        return None
    return a + (b - a) * (w - abs(w) ** 2) / complex(0, 2 * w.imag)


def _angle(corners: list[complex], about: float) -> float:
    """The angle of the arc between the ends that takes in as much beside its chord as the corners do."""
    first, chord = corners[0], abs(corners[-1] - corners[0])
    area = abs(sum(((a - first).conjugate() * (b - first)).imag for a, b in pairwise(corners))) / 2
    for _ in range(6):  # the area grows almost evenly with the angle
        about *= area / (chord**2 / 4 * (about - sin(about)) / (1 - cos(about)))
    return about


def _bend(a: complex, b: complex, c: complex) -> float:
    return abs(phase((c - b) / (b - a)))
