"""The estimate of one option: every stage's result side by side."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from studio.document import document
from studio.estimate.brief import Brief
from studio.hanging.plan import HangingPlan
from studio.hanging.standing import Standing
from studio.lattice.bill import Bill
from studio.lattice.composition import Composition
from studio.lattice.tolerance import SizeError
from studio.light.plan import LightPlan
from studio.making.calendar import Dates
from studio.making.plan import MakingPlan
from studio.pricing.ranges import Left
from studio.pricing.sheet import PriceSheet
from studio.problem import Problem

__all__ = ["Estimate", "PriceRange"]


Pair = tuple[Decimal, Decimal]


@document
class PriceRange:
    """The lowest and highest price, before and with tax, and the least and most printed mass of all panels
    that would be made for openings within what the sizes may be out. `priced` of the `fits` are looked at so
    far; `every` tells that these fits are all there are; `left_out` is the place of the first that has no
    price, -1 where it is an opening without a fit."""

    net: Pair
    gross: Pair
    mass_g: tuple[float, float]
    priced: int
    fits: int
    every: bool
    left_out: int | None = None

    @property
    def whole(self) -> bool:
        """Whether no such panel can cost less or more; otherwise the range is at least this wide."""
        return self.every and self.priced == self.fits


@dataclass(frozen=True, eq=False)
class Estimate:
    """`warnings` do not stop a price (a gap that does not cover the size error, a filament short on the
    shelf); `cautions` are the safety texts that apply. `price_range` is set by `ranged`, until we
    have taped the space. `margins` are what is left of the margin in the worst two of ten cases: for the
    studio alone.
    `hung_mass_g` is printed and bought-in; `hanger_load_needed_g` what each hanger must hold, 0 where nothing
    hangs on a wall. `light` is None where there is none, or no catalogue to size it by. `hanging` and
    `standing` say where hangers sit and how long feet are, by the rate book's catalogue; None without one."""

    brief: Brief
    as_of: date
    composition: Composition
    bill: Bill
    plan: MakingPlan
    price: PriceSheet
    dates: Dates
    warnings: tuple[Problem, ...]
    cautions: tuple[str, ...]
    price_range: PriceRange | None
    size_error: SizeError
    margins: tuple[Left, ...]
    hung_mass_g: float
    hanger_load_needed_g: float
    light: LightPlan | None
    digest: str
    hanging: HangingPlan | None = None
    standing: Standing | None = None
