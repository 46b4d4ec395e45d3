"""What a pattern is: strokes as data, per shape of cell."""

from typing import Annotated, Literal

from pydantic import Field

from studio.document import document
from studio.lattice.kinds.kind import Family
from studio.lattice.shapes import CellForm

__all__ = ["MOST_STROKES", "Arc", "Family", "Fill", "CellForm", "Line", "Pattern", "Point", "Stroke"]

MOST_STROKES = 200
Number = Annotated[float, Field(ge=-4, le=4)]
Point = tuple[Number, Number]
Text = Annotated[str, Field(min_length=1, max_length=80)]


@document
class Line:
    """A straight stroke along centre-line points."""

    kind: Literal["line"] = "line"
    points: Annotated[tuple[Point, ...], Field(min_length=2, max_length=400)]


@document
class Arc:
    """A true circular arc: centre and radius, from `start_deg` anticlockwise to `end_deg`."""

    kind: Literal["arc"] = "arc"
    centre: Point
    radius: Annotated[float, Field(gt=0, le=4)]
    start_deg: Annotated[float, Field(ge=-720, le=720)]
    end_deg: Annotated[float, Field(ge=-720, le=720)]


@document
class Fill:
    """A filled polygon by its corners."""

    kind: Literal["fill"] = "fill"
    points: Annotated[tuple[Point, ...], Field(min_length=3, max_length=400)]


Stroke = Annotated[Line | Arc | Fill, Field(discriminator="kind")]
Strokes = Annotated[tuple[Stroke, ...], Field(max_length=MOST_STROKES)]


@document
class Pattern:
    """Strokes for each form of cell, given for facing 0 (kinds/); a form without strokes stays open.

    Three-way and square: points and radii in cell sides, origin at the cell's reference point. Diamond: x in
    halves of the cell's level diagonal, y in halves of its upright one, radii in radii of the circle within a
    whole cell, so that one pattern serves every angle; a half or a quarter keeps the origin of the whole
    cell that it is cut from. Halves and quarters are mirrored for the other hand.

    `facings` limits three-way cells to those with the upright side "left" or "right" (the level side at the
    bottom or top when turned); the rest stay open. `mirrored` alternates a square or diamond pattern like a
    chequerboard (facing 1 is its mirror image in x). `strip_factor` multiplies the infill strip width.
    `rim`: "never", "if needed" or "always". `revision` tells a studio's own patterns of one slug apart; those
    that come with the program have 0."""

    slug: Annotated[str, Field(pattern=r"^[a-z0-9]+(-[a-z0-9]+)*$", max_length=60)]
    revision: Annotated[int, Field(ge=0, le=10_000)] = 0
    name: Text
    shows: Annotated[str, Field(max_length=200)] = ""
    lattice: Family
    whole: Strokes = ()
    half: Strokes = ()
    half_level: Strokes = ()
    half_upright: Strokes = ()
    quarter: Strokes = ()
    facings: Literal["both", "left", "right"] = "both"
    mirrored: bool = False
    strip_factor: Annotated[float, Field(ge=0.2, le=5)] = 1.0
    rim: Literal["never", "if needed", "always"] = "never"
    holding: Literal["crush rib", "front lip", "glue dot"] = "crush rib"

    def __hash__(self) -> int:
        """Of the name alone: strokes are long, and names hardly ever meet."""
        return hash((self.lattice, self.slug, self.revision))

    def strokes(self, form: CellForm) -> tuple[Line | Arc | Fill, ...]:
        found: tuple[Line | Arc | Fill, ...] = getattr(self, form.replace(" ", "_"))
        return found

    @property
    def is_open(self) -> bool:
        """Whether it leaves every cell open."""
        return not self.whole
