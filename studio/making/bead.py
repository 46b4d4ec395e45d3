"""The bead: its section, how close lines lie, how many layers there are, how fast plastic can melt.

A bead is a rectangle with semicircular ends; lines lie so close that the beads fill the layer without
overlapping (plane geometry of the stadium shape).
"""

from math import ceil, pi

__all__ = ["flow_limit_mm_s", "layer_count", "section_mm2", "spacing_mm"]

LAYER_NOISE = 1e-6
"""Layers: sums of decimal lengths are off by less than this share of a layer."""


def section_mm2(bead_mm: float, layer_mm: float) -> float:
    """Area of a bead's section: (w - h) h + pi h^2 / 4, in mm2."""
    return (bead_mm - layer_mm) * layer_mm + pi * layer_mm**2 / 4


def spacing_mm(bead_mm: float, layer_mm: float) -> float:
    """Distance of neighbouring lines, w - h (1 - pi / 4): the section over the layer's height."""
    return bead_mm - layer_mm * (1 - pi / 4)


def layer_count(depth_mm: float, first_layer_mm: float, layer_mm: float) -> int:
    """Layers of a part: 1 + ceil((H - h1) / h), guarded against float noise (common practice, no source)."""
    above = (depth_mm - first_layer_mm) / layer_mm
    return 1 + max(0, ceil(above - LAYER_NOISE))


def flow_limit_mm_s(max_flow_mm3_s: float, bead_mm: float, layer_mm: float) -> float:
    """The speed at which a bead takes all the plastic that can be melted."""
    return max_flow_mm3_s / section_mm2(bead_mm, layer_mm)
