"""What making a bill of pieces takes: plates, minutes and grams."""

from collections.abc import Mapping
from dataclasses import dataclass

__all__ = ["FilamentUse", "MakingPlan", "Plate", "PlatePart"]


@dataclass(frozen=True, slots=True)
class PlatePart:
    """`count` equal parts of Bill.parts[part] on a plate."""

    part: int
    count: int


@dataclass(frozen=True, slots=True)
class Plate:
    """One print run: pieces of one filament on one bed; `bed_share` is the area of its pieces over the
    usable bed."""

    printer: str
    filament: str
    parts: tuple[PlatePart, ...]
    pieces: int
    minutes: float
    mass_g: float
    bed_share: float


@dataclass(frozen=True, slots=True)
class FilamentUse:
    """Grams of one filament: in the panel's pieces, in spares, and expected for reprints; and whole spools
    to buy once the shelf is used (stock less promised)."""

    filament: str
    panel_g: float
    spares_g: float
    reprints_g: float
    spools_to_buy: int

    @property
    def mass_g(self) -> float:
        return self.panel_g + self.spares_g + self.reprints_g


@dataclass(frozen=True, eq=False)
class MakingPlan:
    """`print_minutes` excludes reprints; `reprint_minutes` is what failures are expected to add (hazard per
    hour). `minutes_by_printer` and `reprint_minutes_by_printer` are by printer kind and add up to the two.
    `panel_mass_g` is the printed mass of the panel as hung, without spares or bought-in parts. All are
    floats in minutes and grams."""

    plates: tuple[Plate, ...]
    print_minutes: float
    reprint_minutes: float
    minutes_by_printer: Mapping[str, float]
    reprint_minutes_by_printer: Mapping[str, float]
    filaments: tuple[FilamentUse, ...]
    panel_mass_g: float
