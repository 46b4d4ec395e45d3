"""Reads drawings back with a reader of its own: path data to rings, and the area that they enclose."""

import re

import numpy as np
from numpy.typing import NDArray


def rings_of(data: str) -> list[NDArray[np.float64]]:
    """Subpaths made of M, m, l and z as absolute rings (k, 2)."""
    rings: list[NDArray[np.float64]] = []
    start = np.zeros(2)
    for command, numbers in re.findall(r"([Mmlz])([^Mmlz]*)", data):
        values = np.array(re.findall(r"-?\d+", numbers), dtype=float).reshape(-1, 2)
        if command in "Mm":
            assert len(values) == 1
            start = values[0] if command == "M" else start + values[0]
        elif command == "l":
            rings.append(np.vstack((start, start + np.cumsum(values, axis=0))))
    assert data.count("z") == len(rings)
    return rings


def area_of(data: str) -> float:
    """The area by the shoelace formula; holes run the other way round and count against it."""
    total = 0.0
    for ring in rings_of(data):
        x, y = ring.T
        total += float(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) / 2
    return abs(total)
