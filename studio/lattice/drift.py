"""One infill that gives way to another by chance."""

from typing import assert_never

import numpy as np
from numpy.typing import NDArray

from studio.lattice.cells import Cells
from studio.lattice.design import Drift
from studio.lattice.fit import Fit

__all__ = ["drawn_numbers", "drifted", "mixed"]

Words = NDArray[np.uint64]
GOLDEN = np.uint64(0x9E3779B97F4A7C15)


def drifted(arrangement: Drift, fit: Fit, cells: Cells) -> NDArray[np.int16]:
    """1 for each cell that takes the second infill, else 0, (n,). The chance is the share of the way that
    lies behind the cell's reference point."""
    across, up = cells.x / fit.across.length_mm, cells.y / fit.up.length_mm
    match arrangement.direction:
        case "to the right":
            chance = across
        case "to the left":
            chance = 1 - across
        case "upwards":
            chance = up
        case "downwards":
            chance = 1 - up
        case _:
            assert_never(arrangement.direction)
    return (drawn_numbers(arrangement, cells) < chance).astype(np.int16)


def drawn_numbers(arrangement: Drift, cells: Cells) -> NDArray[np.float64]:
    """Each cell's number in [0, 1), (n,): a hash of the seed and the address counted from the anchor, and of
    nothing else."""
    column = (cells.column - arrangement.anchor_column).astype(np.int64).view(np.uint64)
    row = (cells.row - arrangement.anchor_row).astype(np.int64).view(np.uint64)
    word = mixed(mixed(mixed(np.array([arrangement.seed], dtype=np.uint64)) + column) + row)
    return (word >> np.uint64(11)).astype(np.float64) * 2.0**-53


def mixed(word: Words) -> Words:
    """SplitMix64: one step from each state. (Steele, Lea, Flood, "Fast splittable pseudorandom number
    generators", 2014, with the constants of Stafford's variant 13, from memory.)"""
    word = word + GOLDEN
    word = (word ^ (word >> np.uint64(30))) * np.uint64(0xBF58476D1CE4E5B9)
    word = (word ^ (word >> np.uint64(27))) * np.uint64(0x94D049BB133111EB)
    return word ^ (word >> np.uint64(31))
