"""The face on which a piece is printed: chamfered, because the first layer is pressed wide."""

from shapely import Polygon

from studio.lattice.cut import hangs_together

__all__ = ["BED_CHAMFER_MM", "bed_chamfer_mm", "bed_outline"]

BED_CHAMFER_MM = 0.3
"""Across and up, at every edge of the bed face: common practice, no source."""
STEPS = (1.0, 2 / 3, 1 / 3)


def bed_chamfer_mm(outline: Polygon) -> float:
    """The chamfer that an outline gets: BED_CHAMFER_MM, or two thirds or a third of it, or 0 mm, where more
    would part the bed face or leave a neck narrower than a bead."""
    return next((BED_CHAMFER_MM * step for step in STEPS if hangs_together(_inset(outline, step))), 0.0)


def bed_outline(outline: Polygon) -> Polygon:
    """The outline (mm) of the first layer: drawn in by `bed_chamfer_mm` at every edge, inner ones too.

    Masses and times leave the chamfer out: it takes half its square times the length of the edges, for a
    hemp leaf of 44 mm cells, 2 mm strips and 6 mm depth 0.8 % of the volume.
    """
    step = bed_chamfer_mm(outline) / BED_CHAMFER_MM
    return _inset(outline, step) if step else outline


def _inset(outline: Polygon, step: float) -> Polygon:
    return outline.buffer(-BED_CHAMFER_MM * step, join_style="mitre")
