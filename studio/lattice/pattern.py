"""What a pattern is: strokes as data, per shape of cell."""

from dataclasses import dataclass
from typing import Literal

from studio.lattice.design import LatticeKind

__all__ = ["Arc", "Fill", "Line", "Pattern", "Stroke"]


@dataclass(frozen=True, slots=True)
class Line:
    """A straight stroke along centre-line points, in units of the cell side (three-way and square: see
    cell.py, facing 0, side 1)."""

    points: tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class Arc:
    """A true circular arc: centre and radius in cell sides, from `start_deg` anticlockwise to `end_deg`."""

    centre: tuple[float, float]
    radius: float
    start_deg: float
    end_deg: float


@dataclass(frozen=True, slots=True)
class Fill:
    """A filled polygon, corners in cell sides."""

    points: tuple[tuple[float, float], ...]


Stroke = Line | Arc | Fill


@dataclass(frozen=True, slots=True)
class Pattern:
    """`strokes` maps a shape ("whole", "half") to its strokes; the half is given for facing 0 (left hand)
    and is mirrored for the right hand. `facings` limits whole and half cells to those with the upright side
    "left" or "right" ("both": all); the rest stay open. `mirrored` alternates a square pattern like a
    chequerboard (facing 1 is its mirror image in x). `strip_factor` multiplies the infill strip width.
    `rim`: "never", "if needed" or "always"."""

    slug: str
    name: str
    shows: str
    lattice: LatticeKind
    strokes: dict[str, tuple[Stroke, ...]]
    facings: Literal["both", "left", "right"] = "both"
    mirrored: bool = False
    strip_factor: float = 1.0
    rim: Literal["never", "if needed", "always"] = "never"
    holding: Literal["crush rib", "front lip", "glue dot"] = "crush rib"
