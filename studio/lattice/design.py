"""What a client asks for: the design of one option and the space that it is for. Lengths are Decimal
millimetres."""

from decimal import Decimal
from typing import Annotated, Literal, assert_never

from pydantic import AfterValidator, Field

from studio.document import document
from studio.lattice.kinds import Kind, LatticeKind, kind_of
from studio.lattice.origin import TAPED, Origin
from studio.lattice.pattern import Pattern

__all__ = [
    "AllOver", "Alternating", "Arrangement", "Backing", "Band", "Bands", "BorderAndField", "Design", "Drift",
    "Furniture", "Infill", "LatticeKind", "LightControl", "LightLayout", "Rings", "Rosettes",
    "Space", "TouchUp", "WayIn", "backing_word",
]  # fmt: skip

Backing = Literal["none", "sheet", "diffuser"]
LightLayout = Literal["rows", "round the edge"]
LightControl = Literal["on and off", "dimmed"]
Furniture = Literal["desk", "bench", "bed", "door", "sofa", "sideboard"]
Opening = Annotated[Decimal, Field(ge=50, le=20_000, decimal_places=2)]
Small = Annotated[Decimal, Field(ge=0, le=500, decimal_places=2)]
Diagonal = Annotated[Decimal, Field(ge=50, le=30_000, decimal_places=2)]
Name = Annotated[str, Field(min_length=1, max_length=80)]


def _none_or_printable(width_mm: Decimal) -> Decimal:
    """As narrow as a strip may be, or none at all."""
    if 0 < width_mm < 1:
        raise ValueError("give 0 mm for no edging, or at least 1 mm")
    return width_mm


def _both_or_none(diagonals_mm: tuple[Decimal, ...]) -> tuple[Decimal, ...]:
    """One says nothing of a corner."""
    if len(diagonals_mm) not in (0, 2):
        raise ValueError("give both diagonals, or none")
    return diagonals_mm


SeamLines = Annotated[
    tuple[Annotated[int, Field(ge=1, le=1000)], ...],
    Field(max_length=100),
    AfterValidator(lambda lines: tuple(sorted(set(lines)))),
]
Edging = Annotated[Small, AfterValidator(_none_or_printable)]


@document
class Infill:
    """A pattern in a colour. `pattern` is a slug of studio.lattice.patterns, `filament` a name in the rate
    book. The pattern "open" leaves the cell empty."""

    pattern: Name
    filament: Name


@document
class AllOver:
    kind: Literal["all over"] = "all over"
    infill: Infill


@document
class Band:
    infill: Infill
    cells: Annotated[int, Field(ge=1, le=200)]


@document
class Bands:
    """Bands repeat in order from the left (upright) or from the bottom (level); `cells` counts the panel's
    addresses that way: columns or rows of cells (half sides along a three-way lattice's strips, half boxes
    in a diamond one)."""

    kind: Literal["bands"] = "bands"
    direction: Literal["upright", "level"] = "upright"
    bands: Annotated[tuple[Band, ...], Field(min_length=1, max_length=12)]


@document
class BorderAndField:
    """`border_cells` is the depth of the border in cells, about as thick on all four sides; in a diamond
    lattice the half cells at the edge come on top."""

    kind: Literal["border and field"] = "border and field"
    border: Infill
    border_cells: Annotated[int, Field(ge=1, le=40)] = 1
    field: Infill


Percent = Annotated[Decimal, Field(ge=0, le=100, decimal_places=1)]


@document
class Rings:
    """Rings round a point repeat in order from the point outwards; a band's `cells` is the thickness of its
    ring in cell sides. Rings run along the strips: hexagons in a three-way lattice, squares and rhombi in the
    others. The point is given in percent of the lattice from its left and lower edge, so that it keeps its
    place when the size changes; the rings' middle is the fitting place in the lattice nearest to it."""

    kind: Literal["rings"] = "rings"
    across_percent: Percent = Decimal(50)
    up_percent: Percent = Decimal(50)
    rings: Annotated[tuple[Band, ...], Field(min_length=1, max_length=12)]


@document
class Drift:
    """The first infill gives way to the second on the way through the panel: a cell takes the second one
    with a chance that grows evenly from 0 to 1. Chances are drawn from the seed and the cell's address,
    counted from the anchor, so that more columns or rows do not shuffle the cells that were there."""

    kind: Literal["drift"] = "drift"
    first: Infill
    second: Infill
    direction: Literal["to the right", "to the left", "upwards", "downwards"] = "to the right"
    seed: Annotated[int, Field(ge=1, le=999_999)] = 1
    anchor_column: Annotated[int, Field(ge=-1000, le=1000)] = 0
    anchor_row: Annotated[int, Field(ge=-1000, le=1000)] = 0


@document
class Rosettes:
    """The cells round some crossings of the lattice (six in a three-way lattice, four in the others) take the
    rosette's infill, all others the field's. Rosettes stand `apart` cell sides from each other along the
    strips, as symmetrically about the middle of the panel as they can: one of them is there or next to it, or
    the middle is half-way between two. The panel's edges cut them."""

    kind: Literal["rosettes"] = "rosettes"
    rosette: Infill
    field: Infill
    apart: Annotated[int, Field(ge=2, le=40)] = 3


@document
class Alternating:
    """Cells that face one way take the first infill, their neighbours the second: in a three-way lattice the
    first is for those with their straight side on the left (turned: below), the others are chequerboards."""

    kind: Literal["alternating"] = "alternating"
    first: Infill
    second: Infill


Arrangement = Annotated[
    AllOver | Bands | BorderAndField | Rings | Drift | Rosettes | Alternating, Field(discriminator="kind")
]


@document
class TouchUp:
    """One cell by its address (column and row from the lower left), given an infill of its own."""

    column: Annotated[int, Field(ge=0, le=1000)]
    row: Annotated[int, Field(ge=0, le=1000)]
    infill: Infill


@document
class Design:
    """One option's design. `cell_side_mm` is the wanted side; the fit may move it by `side_play_percent`
    either way to fill the opening, in steps of 0.5 mm. `columns` and `rows` (half sides along the upright
    strips of a three-way lattice, or the level ones of a turned one; boxes in a diamond one) are None for "as
    large as fits". `angle_deg` is the angle of a diamond cell at its left and right corners. Strip widths are
    face widths; `clearance_mm` is the play on each side of an infill, from a test coupon.

    `touch_ups` lie on top of the arrangement, the last one on a cell counts; with `mirror_touch_ups` each is
    repeated wherever the fit's symmetry carries it, and counts there like one that names the cell.
    `seams_after_columns` and `seams_after_rows` say where sections meet, by how many columns and rows of
    cells lie before, from the left and from below, so that what is added on the right or above moves none of
    them; empty where the program is to say.
    `light_strip` is a code of the rate book's catalogue, "" for the first that suits; `light_diffuser_mm` is
    how far strips lie from the diffuser, None for the catalogue's figure. They say nothing where there is no
    catalogue.
    `own_patterns` are the studio's own patterns that the design uses, whole, so that a design keeps its shape
    whatever becomes of the pattern later. `hanger` is the code of the hanger that is wanted, empty for the
    cheapest that holds."""

    lattice: LatticeKind = "three-way"
    angle_deg: Annotated[Decimal, Field(ge=30, le=150, decimal_places=1)] = Decimal(60)
    cell_side_mm: Annotated[Decimal, Field(ge=10, le=400, decimal_places=2)] = Decimal(44)
    side_play_percent: Annotated[Decimal, Field(ge=0, le=25)] = Decimal(5)
    columns: Annotated[int, Field(ge=1, le=400)] | None = None
    rows: Annotated[int, Field(ge=1, le=800)] | None = None
    strip_width_mm: Annotated[Decimal, Field(ge=1, le=30, decimal_places=2)] = Decimal("3.2")
    infill_strip_mm: Annotated[Decimal, Field(ge=Decimal("0.8"), le=20, decimal_places=2)] = Decimal(2)
    clearance_mm: Annotated[Decimal, Field(ge=0, le=2, decimal_places=2)] = Decimal("0.15")
    depth_mm: Annotated[Decimal, Field(ge=2, le=60, decimal_places=2)] = Decimal(12)
    infill_depth_mm: Annotated[Decimal, Field(ge=1, le=60, decimal_places=2)] = Decimal(6)
    edging_width_mm: Edging = Decimal(12)
    lattice_filament: Name
    edging_filament: Name
    arrangement: Arrangement
    touch_ups: Annotated[tuple[TouchUp, ...], Field(max_length=400)] = ()
    mirror_touch_ups: bool = False
    seams_after_columns: SeamLines = ()
    seams_after_rows: SeamLines = ()
    own_patterns: Annotated[tuple[Pattern, ...], Field(max_length=40)] = ()
    backing: Backing = "none"
    lit: bool = False
    light_layout: LightLayout = "rows"
    light_strip: Annotated[str, Field(max_length=40)] = ""
    light_control: LightControl = "dimmed"
    light_diffuser_mm: Annotated[Decimal, Field(gt=0, le=1000, decimal_places=2)] | None = None
    hanger: Annotated[str, Field(max_length=40)] = ""

    @property
    def kind(self) -> Kind:
        return kind_of(self.lattice)

    @property
    def seam_lines(self) -> tuple[tuple[int, ...], tuple[int, ...]]:
        """Fixed ones, across and up."""
        return self.seams_after_columns, self.seams_after_rows


def backing_word(backing: Backing) -> str:
    """What lies behind the lattice; "" where nothing does."""
    match backing:
        case "none":
            return ""
        case "sheet":
            return "backing sheet"
        case "diffuser":
            return "diffuser"
        case _:
            assert_never(backing)


@document
class WayIn:
    """The narrowest opening on the way (door, lift, stairs, vehicle): a flat part passes when its shorter
    side is at most `width_mm` and its longer side at most `length_mm`."""

    width_mm: Annotated[Decimal, Field(ge=100, le=20_000)] = Decimal(760)
    length_mm: Annotated[Decimal, Field(ge=100, le=20_000)] = Decimal(1980)


@document
class Space:
    """One place at a client's. Up to three widths and heights; the smallest counts, less `gap_mm` on each
    side. Where the sizes come from is said for each side; `photograph_mm` is how far those from a photograph
    may be out, None where nobody says. Until it is `taped_by_us` the price has a range, and until it is
    `measured` nothing but that.

    `diagonals_mm` are both or none; `out_of_plumb_mm` is how far a side leans over its height, the worse one.
    They change no fit: an opening out of square by more than its gaps cover is warned of.

    What was not asked is None, unknown, and never no."""

    widths_mm: Annotated[tuple[Opening, ...], Field(min_length=1, max_length=3)]
    heights_mm: Annotated[tuple[Opening, ...], Field(min_length=1, max_length=3)]
    width_origin: Origin = "said"
    height_origin: Origin = "said"
    photograph_mm: Small | None = None
    diagonals_mm: Annotated[tuple[Diagonal, ...], AfterValidator(_both_or_none)] = ()
    out_of_plumb_mm: Small | None = None
    gap_mm: Small = Decimal(5)
    way_in: WayIn = WayIn()
    mounting: Literal["wall", "free-standing", "in a frame"] = "wall"
    indoors: bool | None = None
    public_room: bool | None = None
    near_heat: bool | None = None
    above_people: bool | None = None
    floor_to_bottom_mm: Annotated[Decimal, Field(ge=0, le=20_000)] | None = None
    stands_near: Annotated[tuple[Furniture, ...], Field(max_length=4)] = ()

    @property
    def measured(self) -> bool:
        return self.width_origin in TAPED and self.height_origin in TAPED

    @property
    def taped_by_us(self) -> bool:
        """Whether something can be made for it."""
        return self.width_origin == self.height_origin == "taped by us"
