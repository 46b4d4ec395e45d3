"""Rosettes: the cells round a crossing of the lattice, again and again."""

from typing import assert_never

import numpy as np
from numpy.typing import NDArray

from studio.lattice.cells import Cells
from studio.lattice.design import Rosettes
from studio.lattice.fit import Fit
from studio.problem import Refused
from studio.voice import count, said

__all__ = ["in_rosettes", "middles_of_rosettes"]

Steps = NDArray[np.int64]
Flags = NDArray[np.bool_]

BEYOND = 2
"""Steps beyond the panel within which a rosette's cells may lie, where it has others in the panel."""


def in_rosettes(arrangement: Rosettes, fit: Fit, cells: Cells) -> NDArray[np.int16]:
    """0 for each cell of a rosette, 1 for those of the field, (n,). Rosettes run to the panel's edges and are
    cut there: left out, they would leave margins that look like a mistake. Raises Refused for a panel that
    has no room for one whole rosette and for rosettes that leave no field."""
    across, up = middles_of_rosettes(fit, arrangement.apart)
    grid = np.ones((fit.across.addresses + 2 * BEYOND, fit.up.addresses + 2 * BEYOND), dtype=np.int16)
    for column, row in fit.kind.round_crossing:
        grid[across + column + BEYOND, up + row + BEYOND] = 0
    found: NDArray[np.int16] = grid[cells.column + BEYOND, cells.row + BEYOND]
    if not found.any():
        reason = said("rosettes {} apart leave no field", count(arrangement.apart, "cell side"))
        remedy = "rosettes further apart, a larger panel, or one infill all over"
        raise Refused.because("design.arrangement.apart", reason, remedy)
    return found


def middles_of_rosettes(fit: Fit, apart: int) -> tuple[Steps, Steps]:
    """The crossings that have rosettes, in steps across and up, (r,) and (r,); some lie one step beyond the
    panel, where cells cut by its edge are round them."""
    origin_across, origin_up = _origin(fit, apart)
    across, up = np.ogrid[-1 : fit.across.steps + 2, -1 : fit.up.steps + 2]
    there = np.flatnonzero(_in_step(fit, apart, across - origin_across, up - origin_up))
    return there // up.size - 1, there % up.size - 1


def _origin(fit: Fit, apart: int) -> tuple[int, int]:
    """The middle of the whole rosette from which the others are counted: of those about which they have the
    panel's symmetry, or else of all, the one nearest to the panel's middle."""
    across, up = np.ogrid[: fit.across.steps + 1, : fit.up.steps + 1]
    room = _has_room(fit, across, up)
    if not room.any():
        remedy = "a larger panel, smaller cells, or one infill all over"
        raise Refused.because("design.arrangement", "the panel has no room for one whole rosette", remedy)
    off_across, off_up = 2 * across - fit.across.steps, 2 * up - fit.up.steps
    symmetric = room & _is_symmetric(fit, apart, off_across, off_up)
    far_squared = (off_across * fit.across.step_mm) ** 2 + (off_up * fit.up.step_mm) ** 2
    best = np.where(symmetric if symmetric.any() else room, far_squared, np.inf).argmin()
    return divmod(int(best), fit.up.steps + 1)


def _has_room(fit: Fit, across: Steps, up: Steps) -> Flags:
    """Whether steps across and up are a crossing that has all its cells, whole."""
    wide, high = np.max(fit.kind.round_crossing, axis=0) + 1  # steps from the crossing to outermost points
    columns, rows = fit.across.steps, fit.up.steps
    whole_across, whole_up = np.minimum(across, columns - across) >= wide, np.minimum(up, rows - up) >= high
    crossing = fit.kind.straight or (across + up) % 2 == fit.kind.every_other
    room: Flags = whole_across & whole_up & crossing
    return room


def _is_symmetric(fit: Fit, apart: int, off_across: Steps, off_up: Steps) -> Flags:
    """Whether rosettes have the fit's symmetry when they are counted from a crossing twice of whose steps lie
    that far off the middle: its image must be in step with it."""
    match fit.symmetry:
        case "left-right":
            return _in_step(fit, apart, off_across, 0 * off_up)
        case "top-bottom":
            return _in_step(fit, apart, 0 * off_across, off_up)
        case "half-turn":
            return _in_step(fit, apart, off_across, off_up)
        case "both":
            return _in_step(fit, apart, off_across, 0 * off_up) & _in_step(fit, apart, 0 * off_across, off_up)
        case _:
            assert_never(fit.symmetry)


def _in_step(fit: Fit, apart: int, across: Steps, up: Steps) -> Flags:
    """Whether two rosettes may lie that many steps from each other."""
    along_strips = fit.kind.straight or (across // apart + up // apart) % 2 == 0
    in_step: Flags = (across % apart == 0) & (up % apart == 0) & along_strips
    return in_step
