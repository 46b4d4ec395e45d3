"""Rings round a point, each along the strips of the lattice."""

from typing import assert_never

import numpy as np
from numpy.typing import NDArray

from studio.lattice.bands import band_at
from studio.lattice.cells import Cells
from studio.lattice.design import Rings
from studio.lattice.fit import Fit
from studio.problem import Refused
from studio.voice import count, said

__all__ = ["in_rings", "middle_of_rings"]

Floats = NDArray[np.float64]


def in_rings(arrangement: Rings, fit: Fit, cells: Cells) -> NDArray[np.int16]:
    """Index of the ring of each cell, (n,). Raises Refused where the last ring would lie beyond the panel.

    Rings run along strips (hexagons in a three-way lattice, squares and rhombi in the others), for circles
    through such large cells look like noise. A cell's ring is the number of strips that separate its
    centroid from the middle, in the family that has the most between them; where the middle lies half-way
    between two strips, the half counts as the innermost.
    """
    across, up = _centroids(fit, cells)
    middle_across, middle_up = middle_of_rings(arrangement, fit)
    place = np.zeros(len(across), dtype=np.int32)
    for p, q, r in fit.kind.strips:
        between = (p * middle_across + q * middle_up + r) % 1  # 0 or 1/2
        strips = np.abs(p * (across - middle_across) + q * (up - middle_up)) + between
        place = np.maximum(place, np.floor(strips).astype(np.int32))
    _refuse_far(arrangement, int(place.max()) + 1)
    return band_at(arrangement.rings, place)


def middle_of_rings(arrangement: Rings, fit: Fit) -> tuple[float, float]:
    """The middle, in steps across and up: where every family of strips has one or lies half-way between two.

    Of such places near the asked one, those on the same mirror lines of the panel come first, so that rings
    are as symmetric as the panel; then those from which rings are regular (crossings, and middles of square
    and diamond cells); then the nearest."""
    wanted_across = float(arrangement.across_percent) / 100 * fit.across.steps
    wanted_up = float(arrangement.up_percent) / 100 * fit.up.steps
    across, up = np.meshgrid(_halves_near(wanted_across), _halves_near(wanted_up), indexing="ij")
    between = np.array([(p * across + q * up + r) % 1 for p, q, r in fit.kind.strips])
    keeps_across, keeps_up = _mirror_lines(fit, wanted_across, wanted_up)
    off_line = (keeps_across & (across != wanted_across)) | (keeps_up & (up != wanted_up))
    far_mm = np.hypot((across - wanted_across) * fit.across.step_mm, (up - wanted_up) * fit.up.step_mm)
    no_place = (2 * between % 1 != 0).any(axis=0)
    irregular = (between != between[0]).any(axis=0)
    order = [rank.ravel() for rank in (far_mm.round(6), irregular, off_line, no_place)]
    best = np.lexsort(order)[0]
    return float(across.flat[best]), float(up.flat[best])


def _halves_near(steps: float) -> Floats:
    """Whole and half steps, far enough to reach a crossing."""
    return round(2 * steps) / 2 + np.arange(-3, 4) / 2


def _mirror_lines(fit: Fit, across: float, up: float) -> tuple[bool, bool]:
    """Whether a point lies on the upright and on the level line about which the panel is symmetric."""
    middle_across, middle_up = 2 * across == fit.across.steps, 2 * up == fit.up.steps
    match fit.symmetry:
        case "both":
            return middle_across, middle_up
        case "left-right":
            return middle_across, False
        case "top-bottom":
            return False, middle_up
        case "half-turn":
            return middle_across and middle_up, middle_across and middle_up
        case _:
            assert_never(fit.symmetry)


def _centroids(fit: Fit, cells: Cells) -> tuple[Floats, Floats]:
    """Of each cell, or the whole one that it is cut from, in steps across and up. A triangle's lies a third
    of its height from its straight side, a sixth of it from the middle between side and apex."""
    whole = [fit.kind.corners("whole", facing, fit.cell_side_mm, fit.angle_deg) for facing in (0, 1)]
    (aside, above), way = np.mean(whole, axis=1).T, cells.facing & 1
    across = cells.x + aside[way] if aside.any() else cells.x
    up = cells.y + above[way] if above.any() else cells.y
    return across / fit.across.step_mm, up / fit.up.step_mm


def _refuse_far(arrangement: Rings, reach: int) -> None:
    begins = sum(ring.cells for ring in arrangement.rings[:-1])
    if begins >= reach:
        reason = "the last ring begins {} from the middle of the rings, and the panel ends after {}"
        remedy = "fewer or thinner rings, or a larger panel"
        raise Refused.because(
            "design.arrangement.rings", said(reason, count(begins, "cell side"), reach), remedy
        )
