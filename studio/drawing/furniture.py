"""What may stand near a panel, seen from the front, in plain boxes."""

from collections.abc import Iterable
from dataclasses import dataclass

from studio.drawing.lettering import text_width
from studio.drawing.rings import PER_MM
from studio.drawing.sheet import Lettering, Pen

__all__ = ["FURNITURE", "GAP_MM", "Box", "PlacedThing", "Thing", "in_a_row"]

Box = tuple[float, float, float, float]
"""Left, bottom, width, height, mm from the thing's lower left corner."""
GAP_MM = 150.0


@dataclass(frozen=True, slots=True)
class Thing:
    """`low` tells what may stand below a panel from what takes the wall itself. Lettering has room about
    `name_mm` above the floor."""

    name: str
    width_mm: float
    height_mm: float
    name_mm: float
    boxes: tuple[Box, ...]
    low: bool = True


@dataclass(frozen=True, slots=True)
class PlacedThing:
    """A thing on the floor, in drawing units."""

    thing: Thing
    left: float
    floor: float

    @property
    def right(self) -> float:
        return self.left + PER_MM * self.thing.width_mm

    def outline(self) -> str:
        """Path data."""
        return "".join(
            f"M{round(self.left + PER_MM * left)} {round(self.floor - PER_MM * (bottom + height))}"
            f"h{round(PER_MM * width)}v{round(PER_MM * height)}h{round(-PER_MM * width)}z"
            for left, bottom, width, height in self.thing.boxes
        )

    def lettering(self, pen: Pen) -> Lettering:
        foot = self.floor - PER_MM * self.thing.name_mm + pen.capital / 2
        width = text_width(self.thing.name, pen.capital)
        return Lettering(self.thing.name, (self.left + self.right) / 2, foot, width)


def in_a_row(things: Iterable[Thing], left: float, floor: float) -> list[PlacedThing]:
    """Side by side from `left` on."""
    row = []
    for thing in things:
        row.append(PlacedThing(thing, left, floor))
        left = row[-1].right + PER_MM * GAP_MM
    return row


FURNITURE: dict[str, Thing] = {
    thing.name: thing
    for thing in (
        Thing("desk", 1400, 740, 400, ((0, 710, 1400, 30), (40, 0, 50, 710), (1310, 0, 50, 710))),
        Thing("bench", 1200, 450, 220, ((0, 410, 1200, 40), (80, 0, 50, 410), (1070, 0, 50, 410))),
        Thing(
            "bed", 1600, 500, 390,
            ((0, 280, 1600, 220), (0, 100, 1600, 180), (60, 0, 60, 100), (1480, 0, 60, 100)),
        ),
        Thing("door", 800, 2000, 1500, ((0, 0, 800, 2000), (690, 1030, 70, 20)), low=False),
        Thing(
            "sofa", 1900, 800, 610,
            ((160, 420, 1580, 380), (160, 120, 1580, 300), (0, 120, 160, 480), (1740, 120, 160, 480),
             (60, 0, 40, 120), (1800, 0, 40, 120)),
        ),
        Thing(
            "sideboard", 1600, 800, 350,
            ((0, 120, 1600, 680), (0, 580, 1600, 220), (60, 0, 40, 120), (1500, 0, 40, 120)),
        ),
    )
}  # fmt: skip
"""Usual heights: a table 740 mm (720 to 760, common practice; EN 1729-1 gives 760 for ages 14 and over), the
others and all widths from memory."""
