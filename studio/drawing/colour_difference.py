"""How far apart two colours look: CIEDE2000, between filaments as they are shown on a screen."""

from collections.abc import Mapping
from itertools import combinations
from math import atan2, cos, degrees, exp, hypot, radians, sin, sqrt
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from studio.drawing.colour import linear_rgb

__all__ = ["ALIKE", "Alike", "alike", "ciede2000", "lab", "seen_with"]

ALIKE = 5.0
"""Below this difference, pieces of 1 to 2 mm in two colours can hardly be told apart. Our judgement, no
source: side by side a practised eye sees 1, but a screen shows a filament only roughly, and on a wall the
pieces lie apart, small, in shade."""

Lab = tuple[float, float, float]
TO_XYZ = np.array(((0.4124, 0.3576, 0.1805), (0.2126, 0.7152, 0.0722), (0.0193, 0.1192, 0.9505)))
"""Linear sRGB to XYZ, D65 (IEC 61966-2-1)."""
WHITE = TO_XYZ.sum(axis=1)
SIGHT = {
    "protan": (
        (0.152286, 1.052583, -0.204868), (0.114503, 0.786281, 0.099216), (-0.003882, -0.048116, 1.051998),
    ),
    "deutan": (
        (0.367322, 0.860646, -0.227968), (0.280085, 0.672501, 0.047413), (-0.011820, 0.042940, 0.968881),
    ),
}  # fmt: skip
"""What is left to those who lack one kind of cone, on linear RGB: Machado, Oliveira and Fernandes, IEEE
Transactions on Visualization and Computer Graphics 15 (2009), full severity. Tritanopia is left out: one in
ten thousand has it (from memory)."""


class Alike(NamedTuple):
    """Two names whose colours differ by less than ALIKE: to everybody, or only to those with `sight`
    "protan" or "deutan" (about one man in twelve has a weaker form of either; from memory)."""

    first: str
    second: str
    difference: float
    sight: str = ""


def alike(colours: Mapping[str, str]) -> tuple[Alike, ...]:
    """Pairs of names whose "#rrggbb" can hardly be told apart, the nearest first. Those that everybody takes
    for one another are not told again for a sight."""
    found = []
    for first, second in combinations(colours, 2):
        for sight in ("", *SIGHT):
            difference = ciede2000(*(lab(colours[name], sight) for name in (first, second)))
            if difference < ALIKE:
                found.append(Alike(first, second, difference, sight))
                break
    return tuple(sorted(found, key=lambda pair: (bool(pair.sight), pair.difference)))


def lab(colour: str, sight: str = "") -> Lab:
    """L*, a*, b* of "#rrggbb" (CIE 15, D65, 2 degrees), as seen by everybody or with a `sight`."""
    linear = np.array(linear_rgb(colour))
    if sight:
        linear = seen_with(sight, linear)
    x, y, z = (
        share ** (1 / 3) if share > 216 / 24389 else (24389 / 27 * share + 16) / 116
        for share in (TO_XYZ @ linear / WHITE).tolist()
    )
    return 116 * y - 16, 500 * (x - y), 200 * (y - z)


def seen_with(sight: str, linear: NDArray[np.float64]) -> NDArray[np.float64]:
    """Linear RGB as somebody with a `sight` sees it."""
    seen: NDArray[np.float64] = np.clip(np.array(SIGHT[sight]) @ linear, 0, 1)
    return seen


def ciede2000(first: Lab, second: Lab) -> float:
    """The difference, 0 for equal colours. G. Sharma, W. Wu, E. N. Dalal, "The CIEDE2000 color-difference
    formula", Color Research and Application 30 (2005) 21-30, equations 2 to 22, with weights of 1."""
    (l1, a1, b1), (l2, a2, b2) = first, second
    g = 0.5 * (1 - _saturation((hypot(a1, b1) + hypot(a2, b2)) / 2))
    c1, c2 = hypot((1 + g) * a1, b1), hypot((1 + g) * a2, b2)
    h1, h2 = _hue((1 + g) * a1, b1), _hue((1 + g) * a2, b2)
    turn = (h2 - h1 + 180) % 360 - 180 if c1 * c2 else 0.0
    if h2 - h1 == 180:
        turn = 180.0
    light, chroma = (l1 + l2) / 2, (c1 + c2) / 2
    hue = _mean_hue(h1, h2) if c1 * c2 else h1 + h2
    sides = 2 * sqrt(c1 * c2) * sin(radians(turn / 2))
    dl = (l2 - l1) / (1 + 0.015 * (light - 50) ** 2 / sqrt(20 + (light - 50) ** 2))
    dc = (c2 - c1) / (1 + 0.045 * chroma)
    dh = sides / (1 + 0.015 * chroma * _hue_weight(hue))
    rotation = -sin(radians(60 * exp(-(((hue - 275) / 25) ** 2)))) * 2 * _saturation(chroma)
    return sqrt(dl**2 + dc**2 + dh**2 + rotation * dc * dh)


def _saturation(chroma: float) -> float:
    return sqrt(chroma**7 / (chroma**7 + 25.0**7))


def _hue(a: float, b: float) -> float:
    return degrees(atan2(b, a)) % 360


def _mean_hue(h1: float, h2: float) -> float:
    total = h1 + h2
    if abs(h1 - h2) > 180:
        total += 360 if total < 360 else -360
    return total / 2


def _hue_weight(hue: float) -> float:
    return (
        1
        - 0.17 * cos(radians(hue - 30))
        + 0.24 * cos(radians(2 * hue))
        + 0.32 * cos(radians(3 * hue + 6))
        - 0.20 * cos(radians(4 * hue - 63))
    )
