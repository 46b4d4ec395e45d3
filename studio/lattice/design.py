"""What a client asks for: the design of one option and the space that it is for. Lengths are Decimal
millimetres."""

from decimal import Decimal
from typing import Annotated, Literal

from pydantic import AfterValidator, Field

from studio.document import document

__all__ = [
    "AllOver", "Arrangement", "Band", "Bands", "BorderAndField", "Design", "Infill", "LatticeKind", "Space",
    "WayIn",
]  # fmt: skip

LatticeKind = Literal["three-way", "square"]
Opening = Annotated[Decimal, Field(ge=50, le=20_000, decimal_places=2)]
Small = Annotated[Decimal, Field(ge=0, le=500, decimal_places=2)]
Name = Annotated[str, Field(min_length=1, max_length=80)]


def _none_or_printable(width_mm: Decimal) -> Decimal:
    """As narrow as a strip may be, or none at all."""
    if 0 < width_mm < 1:
        raise ValueError("give 0 mm for no edging, or at least 1 mm")
    return width_mm


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
    """Bands repeat in order from the left (upright) or from the bottom (level); `cells` counts columns
    (upright) or rows of cells (level; half sides in a three-way lattice)."""

    kind: Literal["bands"] = "bands"
    direction: Literal["upright", "level"] = "upright"
    bands: Annotated[tuple[Band, ...], Field(min_length=1, max_length=12)]


@document
class BorderAndField:
    """`border_cells` is the depth of the border in cells, the same on all four sides."""

    kind: Literal["border and field"] = "border and field"
    border: Infill
    border_cells: Annotated[int, Field(ge=1, le=40)] = 1
    field: Infill


Arrangement = Annotated[AllOver | Bands | BorderAndField, Field(discriminator="kind")]


@document
class Design:
    """One option's design. `cell_side_mm` is the wanted side; the fit may move it by `side_play_percent`
    either way to fill the opening, in steps of 0.5 mm. `columns` and `rows` (half sides in a three-way
    lattice) are None for "as large as fits". Strip widths are face widths; `clearance_mm` is the play on
    each side of an infill, from a test coupon."""

    lattice: LatticeKind = "three-way"
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
    backing: Literal["none", "sheet", "diffuser"] = "none"
    lit: bool = False


@document
class WayIn:
    """The narrowest opening on the way (door, lift, stairs, vehicle): a flat part passes when its shorter
    side is at most `width_mm` and its longer side at most `length_mm`."""

    width_mm: Annotated[Decimal, Field(ge=100, le=20_000)] = Decimal(760)
    length_mm: Annotated[Decimal, Field(ge=100, le=20_000)] = Decimal(1980)


@document
class Space:
    """One place at a client's. Up to three widths and heights; the smallest counts, less `gap_mm` on each
    side. An unmeasured space (a size said on the phone) makes the price a range."""

    widths_mm: Annotated[tuple[Opening, ...], Field(min_length=1, max_length=3)]
    heights_mm: Annotated[tuple[Opening, ...], Field(min_length=1, max_length=3)]
    gap_mm: Small = Decimal(5)
    measured: bool = True
    way_in: WayIn = WayIn()
    mounting: Literal["wall", "free-standing", "in a frame"] = "wall"
    indoors: bool = True
    public_room: bool = False
    near_heat: bool = False
    above_people: bool = False
    floor_to_bottom_mm: Annotated[Decimal, Field(ge=0, le=20_000)] | None = None
