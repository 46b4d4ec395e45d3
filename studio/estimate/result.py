"""The estimate of one option: every stage's result side by side."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from studio.estimate.brief import Brief
from studio.lattice.bill import Bill
from studio.lattice.composition import Composition
from studio.lattice.tolerance import SizeError
from studio.making.calendar import Dates
from studio.making.plan import MakingPlan
from studio.pricing.ranges import Left
from studio.pricing.sheet import PriceSheet
from studio.problem import Problem

__all__ = ["Estimate", "PriceRange"]


@dataclass(frozen=True, slots=True)
class PriceRange:
    """Gross and net prices of an unmeasured space made smaller and larger by the uncertainty of its
    worse side."""

    net: tuple[Decimal, Decimal]
    gross: tuple[Decimal, Decimal]


@dataclass(frozen=True, eq=False)
class Estimate:
    """`warnings` do not stop a price (a gap that does not cover the size error, a filament short on the
    shelf); `cautions` are the safety texts that apply. `price_range` is set for an unmeasured space
    only. `margins` are what is left of the margin in the worst two of ten cases: for the studio alone.
    `hung_mass_g` is printed and bought-in; `hanger_load_needed_g` what each hanger must hold, 0 where nothing
    hangs on a wall."""

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
    digest: str
