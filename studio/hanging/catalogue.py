"""What a studio hangs and stands panels by, as documents."""

from dataclasses import dataclass, field
from decimal import Decimal
from typing import Annotated, Literal

from pydantic import AfterValidator, Field

from studio.document import document

__all__ = ["CREEP_FACTOR", "Foot", "Hanger", "HangerKind", "Hanging", "Joints", "Push"]

Code = Annotated[str, Field(pattern=r"^[a-z][a-z0-9-]{0,39}$", max_length=36)]
Name = Annotated[str, Field(min_length=1, max_length=70)]
Money = Annotated[Decimal, Field(ge=0, le=10**9, decimal_places=4)]
Minutes = Annotated[Decimal, Field(ge=0, le=100_000, decimal_places=4)]
Rating = Annotated[float, Field(gt=0, le=10**6)]
Length = Annotated[float, Field(ge=0, le=3000)]
Grams = Annotated[float, Field(ge=0, le=10**6)]

HangerKind = Literal["hook", "cleat rail", "printed"]
CREEP_FACTOR = 3.0
"""How much more a plastic part or glue must hold at once than what hangs on it for years: our own assumption,
no source; a studio that has tested gives its own."""


def _in_order(holes_mm: tuple[float, ...]) -> tuple[float, ...]:
    if len(set(holes_mm)) < len(holes_mm):
        raise ValueError("give every hole once")
    if not min(holes_mm) <= 0 <= max(holes_mm):
        raise ValueError("give holes on both sides of the middle, or one in it")
    return tuple(sorted(holes_mm))


@document
class Hanger:
    """Hooks and printed hangers go in pairs, a cleat rail alone. `rating_g` is what one holds by its maker's
    data sheet, before the studio's safety factor; `price` and `minutes` (of a `role`, to fit it, besides what
    every hanger takes) are for one with its fixings, as far as the rate book does not buy those by the
    hanger. It is `width_mm` wide, goes on an edging or strip of at least `needs_mm`, and holds the panel's
    back `off_wall_mm` off the wall. `holes_mm` are its wall fixings, from its middle."""

    code: Code
    text: Name
    kind: HangerKind = "hook"
    rating_g: Rating
    price: Money = Decimal(0)
    minutes: Minutes = Decimal(0)
    role: Name = "maker"
    mass_g: Grams = 0
    width_mm: Annotated[float, Field(gt=0, le=3000)] = 20
    needs_mm: Length = 0
    off_wall_mm: Length = 5
    holes_mm: Annotated[
        tuple[Annotated[float, Field(ge=-1500, le=1500)], ...],
        Field(min_length=1, max_length=40),
        AfterValidator(_in_order),
    ] = (0.0,)


@document
class Joints:
    """What the panel's own joints hold when they are pulled at once, as the studio has tested them; None
    where it has not. `edging_g` is for the glued edging at a hanger. What hangs for years is taken
    `creep_factor` times. `backing_carries` says that a sheet or diffuser behind is fixed to the top and to
    every section, and holds the sections up without the seams."""

    key_g: Rating | None = None
    glue_g: Rating | None = None
    edging_g: Rating | None = None
    creep_factor: Annotated[float, Field(ge=1, le=20)] = CREEP_FACTOR
    backing_carries: bool = False


@document
class Foot:
    """A foot of a free-standing panel: `length_mm` from front to back, half of it either way, and so high
    that the panel begins `height_mm` above the floor."""

    code: Code
    text: Name
    length_mm: Annotated[float, Field(gt=0, le=5000)]
    height_mm: Length = 0
    price: Money = Decimal(0)
    minutes: Minutes = Decimal(0)
    role: Name = "maker"
    mass_g: Grams = 0


@document
class Push:
    """What a free-standing panel must stand, level, at a height above the floor. The default is our own
    assumption, no source: a hand that leans on it lightly."""

    force_n: Annotated[float, Field(gt=0, le=5000)] = 20
    height_mm: Annotated[float, Field(gt=0, le=3000)] = 1000
    source: Annotated[str, Field(max_length=200)] = "our own assumption, no source"


@dataclass(frozen=True, slots=True, kw_only=True)
class Hanging:
    """All of it. Without hangers, nothing says where they sit."""

    hangers: tuple[Hanger, ...] = ()
    printed_allowed: bool = False
    joints: Joints = field(default_factory=Joints)
    feet: tuple[Foot, ...] = ()
    push: Push = field(default_factory=Push)
