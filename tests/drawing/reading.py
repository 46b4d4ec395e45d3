"""Reads drawings back with a reader of its own: path data to rings, and the area that they enclose."""

import re
from math import asin, hypot, sin

import numpy as np
from numpy.typing import NDArray

PER_MM = 1000
"""Drawing units in a millimetre, written down a second time."""


def rings_of(data: str) -> list[NDArray[np.float64]]:
    """Subpaths made of M, m, l, a and z as absolute rings (k, 2) of their corners."""
    return [ring for ring, _ in _read(data)]


def area_of(data: str) -> float:
    """The area by the shoelace formula and, on every arc, the circular segment beside its chord; holes run
    the other way round and count against it."""
    total = 0.0
    for ring, segments in _read(data):
        x, y = ring.T
        total += float(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) / 2 + segments
    return abs(total)


def _read(data: str) -> list[tuple[NDArray[np.float64], float]]:
    found = []
    start = np.zeros(2)
    ring: list[NDArray[np.float64]] = []
    segments = 0.0
    for command, text in re.findall(r"([Mmlaz])([^Mmlaz]*)", data):
        numbers = [float(number) for number in re.findall(r"-?\d+", text)]
        if command in "Mm":
            start = np.array(numbers) + (0 if command == "M" else start)
            ring, segments = [start], 0.0
        elif command == "z":
            found.append((np.array(ring), segments))
        for step in np.reshape(numbers, (-1, 7 if command == "a" else 2)) if command in "la" else ():
            ring.append(ring[-1] + step[-2:])
            segments += _segment(*step) if command == "a" else 0
    return found


def _segment(rx: float, ry: float, turn: float, large: float, sweep: float, dx: float, dy: float) -> float:
    """Signed: an arc that goes the way of the hands of a clock (sweep 1) bulges to the left of its chord."""
    assert (rx, turn, large) == (ry, 0, 0)
    angle = 2 * asin(min(1.0, hypot(dx, dy) / 2 / rx))
    return (1 if sweep else -1) * rx**2 / 2 * (angle - sin(angle))
