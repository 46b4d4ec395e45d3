"""What a drilling template shows at full size: holes, level lines, the panel's outline, and where cables
usually run. x to the right from the panel's middle, y up from the uppermost level line, mm, seen from the
front."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from studio.hanging.plan import HangingPlan
from studio.problem import Refused

__all__ = ["CABLES_MM", "Hole", "Template", "Wall", "template_of"]

Box = tuple[float, float, float, float]
AROUND_MM = 60.0
"""Of the wall is shown round the holes."""
CABLES_MM = 150.0
"""From a ceiling or a corner, where cables may lie within 50 mm of the surface: BS 7671, 522.6.202 (as
quoted)."""
ACCESSORY_MM = 86.0
"""Width and height of a socket or switch, whose zones are as wide: a usual single plate (from memory)."""
GB_SAYS = (
    "Cables may lie within 50 mm of the surface, straight up, down or sideways from any socket or switch, "
    "and "
    "within 150 mm of the ceiling or a corner (BS 7671, 522.6.202): do not drill there. Detect before you "
    "drill."
)
UNKNOWN_SAYS = "Where cables and pipes run in this wall is unknown: detect before you drill."


@dataclass(frozen=True, slots=True)
class Wall:
    """What is known of the wall, in the template's coordinates; `country` is a code such as GB, "" where
    nobody knows. `ceiling_mm` is the ceiling's height above the level line, `corners_mm` and `sockets_mm`
    where the wall ends and what is on it."""

    country: str = ""
    ceiling_mm: float | None = None
    corners_mm: tuple[float, ...] = ()
    sockets_mm: tuple[tuple[float, float], ...] = ()


@dataclass(frozen=True, slots=True)
class Hole:
    """Holes are numbered from the left along each level line, the uppermost first. `load_g` is the most that
    the fixing in it has to carry, with no factor."""

    number: int
    across_mm: float
    up_mm: float
    load_g: float


@dataclass(frozen=True, slots=True)
class Template:
    """`region` (left, bottom, right, top) is what sheets show. `outlines` are the modules', `cables` boxes in
    which cables usually run, `says` what is known of them."""

    holes: tuple[Hole, ...]
    levels_mm: tuple[float, ...]
    outlines: tuple[Box, ...]
    cables: tuple[Box, ...]
    says: str
    region: Box


def template_of(plan: HangingPlan, panel_mm: float, wall: Wall | None = None) -> Template:
    """The template of a plan for a panel whose lattice, from outer centre line to outer centre line, is
    `panel_mm` wide. Raises Refused where it has no hanger."""
    wall = wall or Wall()
    if not plan.modules:
        raise Refused.because("space.mounting", "nothing hangs, so nothing is drilled", "a panel on a wall")
    zero, middle = max(module.places.up_mm for module in plan.modules), panel_mm / 2
    levels = sorted({round(module.places.up_mm - zero, 3) for module in plan.modules}, reverse=True)
    holes = tuple(_holes(plan, zero, middle))
    boxes = (module.hung.box for module in plan.modules)
    outlines = tuple((a - middle, b - zero, c - middle, d - zero) for a, b, c, d in boxes)
    region = _region(holes)
    cables = tuple(_cables(wall, region)) if wall.country == "GB" else ()
    says = GB_SAYS if wall.country == "GB" else UNKNOWN_SAYS
    return Template(holes, tuple(levels), outlines, cables, says, region)


def _holes(plan: HangingPlan, zero: float, middle: float) -> Iterator[Hole]:
    found = [
        (module.places.up_mm - zero, place + hole - middle, module.hole_load_g)
        for module in plan.modules
        for place in module.places.across_mm
        for hole in plan.hanger.holes_mm
    ]
    in_order = sorted(found, key=lambda each: (-round(each[0], 3), each[1]))
    for number, (up, across, load_g) in enumerate(in_order, start=1):
        yield Hole(number, across, up, load_g)


def _region(holes: Sequence[Hole]) -> Box:
    """With the centre line in it."""
    across, up = [0.0, *(hole.across_mm for hole in holes)], [hole.up_mm for hole in holes]
    return (
        min(across) - AROUND_MM,
        min(up) - AROUND_MM,
        max(across) + AROUND_MM,
        max(up) + AROUND_MM,
    )


def _cables(wall: Wall, region: Box) -> Iterator[Box]:
    """Zones, as far as the region goes."""
    left, bottom, right, top = region
    zones = [(corner - CABLES_MM, bottom, corner + CABLES_MM, top) for corner in wall.corners_mm]
    if wall.ceiling_mm is not None:
        zones.append((left, wall.ceiling_mm - CABLES_MM, right, wall.ceiling_mm))
    half = ACCESSORY_MM / 2
    for x, y in wall.sockets_mm:
        zones += [(x - half, bottom, x + half, top), (left, y - half, right, y + half)]
    for a, b, c, d in zones:
        box = max(a, left), max(b, bottom), min(c, right), min(d, top)
        if box[0] < box[2] and box[1] < box[3]:
            yield box
