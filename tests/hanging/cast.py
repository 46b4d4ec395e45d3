"""Panels and catalogues for the tests of hanging."""

from dataclasses import replace
from decimal import Decimal

from studio.hanging.catalogue import Hanger, Hanging
from studio.lattice.bill import BedLimit, bill_of
from studio.lattice.composition import compose
from studio.lattice.design import WayIn
from tests.lattice.cast import sized

BED = BedLimit(246, 246, 250)
HOOK = Hanger(code="hook", text="Hook", rating_g=20_000, price=Decimal("2.50"), mass_g=0)
RAIL = Hanger(
    code="rail", text="Rail", kind="cleat rail", rating_g=60_000, price=Decimal(9), width_mm=200,
    holes_mm=(-90, 90),
)  # fmt: skip
PRINTED = Hanger(code="printed", text="Printed hanger", kind="printed", rating_g=30_000, price=Decimal("0.2"))


def catalogue(*hangers, **changes):
    return replace(Hanging(hangers=hangers or (HOOK,)), **changes)


def panel(lattice="square", columns=8, rows=6, *, bed=BED, way_in=None, side="44", **changes):
    """A composition and its bill."""
    composition = compose(*sized(lattice, columns, rows, side, **changes))
    return composition, bill_of(composition, [bed], way_in or WayIn(), 90, 2.0)


def grams(bill, density=1.24e-3):
    """Of one of each part, as if all were solid: g per mm³."""
    return [part.face.area_mm2 * part.depth_mm * density for part in bill.parts]
