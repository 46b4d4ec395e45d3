"""A catalogue and panels for the tests of light; every price is invented."""

from dataclasses import replace
from decimal import Decimal

from studio.lattice.bill import Bill, bill_of
from studio.lattice.composition import compose
from studio.lattice.design import WayIn
from studio.lattice.fit import best_fit
from studio.lattice.split import BedLimit
from studio.light.catalogue import Connector, Controller, Fuse, Lead, Lighting, LightStrip, Supply
from tests.lattice.cast import design, space

LEADS = (("0.5", 3, "0.40"), ("0.75", 6, "0.55"), ("1", 10, "0.75"), ("1.5", 16, "1.05"))
FUSES = (1, 2, 3, 5, 7.5, 10)
SUPPLIES = ((30, "14"), (60, "19"), (96, "26"), (150, "36"))

STRIP = LightStrip(
    code="warm", text="Warm strip", volts=24, watts_per_m=14.4, cut_mm=50, ohms_per_m=0.06,
    lumens_per_m=1300, price=Decimal(9),
)  # fmt: skip
TWELVE = replace(STRIP, code="twelve", volts=12)
LIGHTING = Lighting(
    strips=(STRIP,),
    supplies=tuple(
        Supply(
            code=f"supply-{w}", text=f"Supply {w} W", volts=24, watts=w, efficiency_percent=88,
            price=Decimal(p),
        )
        for w, p in SUPPLIES
    ),
    leads=tuple(
        Lead(
            code=f"lead-{i}", text=f"Lead {mm2} mm²", cross_section_mm2=mm2, amps=amps, price=Decimal(p)
        )
        for i, (mm2, amps, p) in enumerate(LEADS)
    ),
    fuses=tuple(
        Fuse(code=f"fuse-{i}", text=f"Fuse {amps} A", amps=amps, price=Decimal("0.60"))
        for i, amps in enumerate(FUSES)
    ),
    controllers=(
        Controller(code="dimmer", text="Dimmer 5 A", volts=24, amps=5, price=Decimal(15)),
        Controller(code="dimmer-10", text="Dimmer 10 A", volts=24, amps=10, price=Decimal(24)),
    ),
    connectors=(
        Connector(code="link", text="Strip link", joins="strips", price=Decimal("0.80")),
        Connector(code="plug", text="Plug", joins="modules", price=Decimal("1.90")),
    ),
)  # fmt: skip


def panel(width, height, lattice="square", side="50", bed=400, way=(20_000, 20_000), **changes) -> Bill:
    """The bill of as large a panel as there is room for, its edging 12 mm wide."""
    wanted = design(
        lattice,
        cell_side_mm=Decimal(side),
        side_play_percent=Decimal(0),
        lit=True,
        backing="diffuser",
        **changes,
    )
    room = space(width, height, gap_mm=Decimal(0))
    passes = WayIn(width_mm=Decimal(way[0]), length_mm=Decimal(way[1]))
    composition = compose(wanted, best_fit(wanted, room))
    return bill_of(composition, [BedLimit(bed, bed, 250)], passes, 90, 2)
