"""A border of one infill round a field of another."""

from itertools import count as counted
from itertools import takewhile

import numpy as np
from numpy.typing import NDArray

from studio.lattice.cells import Cells, has_cell
from studio.lattice.design import BorderAndField
from studio.lattice.fit import Fit
from studio.problem import Refused
from studio.voice import count, said

__all__ = ["border_rows", "in_border"]


def in_border(arrangement: BorderAndField, fit: Fit, cells: Cells) -> NDArray[np.int16]:
    """0 for each cell of the border, 1 for those of the field, (n,). Raises Refused for a border that leaves
    no field."""
    _refuse_deep(arrangement.border_cells, fit)
    across, up = border_rows(fit, arrangement.border_cells)
    within = (cells.column >= across) & (cells.column < fit.across.addresses - across)
    return (within & (cells.row >= up) & (cells.row < fit.up.addresses - up)).astype(np.int16)


def border_rows(fit: Fit, border_cells: int) -> tuple[int, int]:
    """Columns and rows of addresses that make a border of `border_cells` cells, as thick above and below as
    at the sides. The same at opposite edges keeps every symmetry of the fit.

    Where lines run straight, n addresses are n steps thick. Where they zigzag the first holds half cells, so
    that n are n - 1/2 steps thick on average. The border counts cells along the longer step: in a three-way
    lattice columns of s*sqrt(3)/2 (rows of s/2 match 1, 2, 3, 4 of them with 2, 4, 6, 7), in a diamond one
    the cells that a strip passes after the half one at the edge. The shorter step follows, rounded.
    """
    across, up = fit.across, fit.up
    longer, shorter = (across, up) if across.step_mm >= up.step_mm else (up, across)
    first = border_cells + longer.zigzag
    thick_mm = (first - longer.zigzag / 2) * longer.step_mm
    second = round(thick_mm / shorter.step_mm + shorter.zigzag / 2)
    return (first, second) if longer is across else (second, first)


def _refuse_deep(border_cells: int, fit: Fit) -> None:
    if _leaves_field(fit, border_cells):
        return
    deepest = sum(1 for _ in takewhile(lambda depth: _leaves_field(fit, depth), counted(1)))
    room = count(fit.across.addresses, "column of cells"), count(fit.up.addresses, "row of cells")
    reason = said("a border of {} leaves no field in {} and {}", count(border_cells, "cell"), *room)
    smaller = said("a border of {} at most", count(deepest, "cell"))
    remedy = smaller if deepest else "a larger panel, or one infill all over"
    raise Refused.because("design.arrangement.border_cells", reason, remedy)


def _leaves_field(fit: Fit, border_cells: int) -> bool:
    """Whether a cell remains; of a diamond lattice's addresses every other one has none."""
    across, up = border_rows(fit, border_cells)
    columns, rows = fit.across.addresses - 2 * across, fit.up.addresses - 2 * up
    return columns > 0 and rows > 0 and (columns * rows > 1 or has_cell(fit, across, up))
