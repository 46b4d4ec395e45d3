"""A bill and a plan small enough to recompute on paper, and quantities and rate books made from nothing."""

from decimal import Decimal
from typing import get_args

import numpy as np

from studio.lattice.bill import Bill, Face, Module, Part, Ring, Seam, Section
from studio.lattice.design import AllOver, Design, Infill
from studio.lattice.fit import Fit
from studio.making.equipment import Filament, Printer
from studio.making.plan import FilamentUse, MakingPlan, Plate, PlatePart
from studio.pricing.quantities import Grams, Quantities
from studio.pricing.rate_book import Deposit, Operation, Per, RateBook, TaxCategory

D = Decimal

FACE = Face(
    rings=(Ring(points=np.array([[0.0, 0.0], [30.0, 0.0], [15.0, 26.0]]), hole=False),),
    area_mm2=390.0,
    width_mm=30.0,
    height_mm=26.0,
    digest="triangle",
)


def a_design(backing="none", lit=False) -> Design:
    return Design(
        lattice_filament="Walnut",
        edging_filament="Walnut",
        arrangement=AllOver(infill=Infill(pattern="hemp-leaf", filament="Tea")),
        backing=backing,
        lit=lit,
    )


def a_part(code="infill", filament="Tea", count=100, spares=2) -> Part:
    return Part(
        code=code,
        pattern="hemp-leaf",
        size="whole",
        filament=filament,
        face=FACE,
        depth_mm=6.0,
        count=count,
        spares=spares,
        nests="triangle",
    )


def a_bill(backing_area_mm2=0.0, light_length_mm=0.0) -> Bill:
    """1200 by 750 mm: 300 infills in two colours, two sections in two modules, one seam of eight keys closed
    on site."""
    section = Section(column=0, columns=8, row=0, rows=30, width_mm=600, height_mm=750, cells=160, module=0)
    module = Module(sections=(0,), width_mm=600, height_mm=750)
    return Bill(
        fit=Fit("three-way", 16, 30, 44.0, 1176.0, 726.0, 1200.0, 750.0, (0.0, 0.0), "both"),
        cells=(300, 20, 0),
        open_cells=20,
        parts=(a_part(), a_part(filament="Indigo", count=200), a_part(code="rail", count=4)),
        sections=(section, section),
        seams=(Seam(first=0, second=1, length_mm=750.0, joints=8, keys=8, on_site=True),),
        modules=(module, module),
        backing_area_mm2=backing_area_mm2,
        light_length_mm=light_length_mm,
        hangers=3,
        colours=3,
    )


def a_plan() -> MakingPlan:
    plate = Plate("Small bed", "Tea", (PlatePart(0, 102),), 102, 600.0, 380.0, 0.6)
    return MakingPlan(
        plates=(plate, plate, plate),
        print_minutes=1800.004,
        reprint_minutes=90.0,
        minutes_by_printer={"Small bed": 1500.004, "Large bed": 300.0},
        reprint_minutes_by_printer={"Small bed": 90.0},
        filaments=(FilamentUse("Tea", 900.111, 20.005, 40.0, 1), FilamentUse("Walnut", 1500.0, 0.0, 75.0, 2)),
        panel_mass_g=2400.111,
    )


def quantities(grams=(), minutes=(), reprints=(), changes=(), energy=0, **counts: int | str) -> Quantities:
    """Nothing but one commission of one module and what is named (underscores for spaces)."""
    zero = dict.fromkeys(get_args(Per), D(0))
    named = {per.replace("_", " "): D(times) for per, times in counts.items()}
    return Quantities(
        counts=zero | {"commission": D(1), "module": D(1)} | named,
        minutes={name: D(value) for name, value in dict(minutes).items()},
        reprint_minutes={name: D(value) for name, value in dict(reprints).items()},
        grams={name: Grams(*map(D, masses)) for name, masses in dict(grams).items()},
        change_minutes={name: D(value) for name, value in dict(changes).items()},
        energy_kwh=D(energy),
    )


def a_book(cost="100", **changes) -> RateBook:
    """One operation of one hour per commission at `cost`: no overhead, quoting, shares or rounding unless
    changed."""
    plain = {
        "filaments": (Filament(name="Tea", colour="#b98a5a", price_per_spool=D(20)),),
        "printers": (Printer(name="Small bed"),),
        "roles": {"maker": D(cost), "designer": D(0)},
        "operations": (Operation(code="make", text="Making", role="maker", minutes=D(60), per="commission"),),
        "overhead_per_hour": D(0),
        "quoting_minutes": D(0),
        "rounding_step": D(0),
        "tax": (TaxCategory(code="standard", text="VAT", percent=D(20)),),
        "deposits": (
            Deposit(text="With the order", percent=D(50)),
            Deposit(text="Before delivery", percent=D(50)),
        ),
    }
    return RateBook(**{**plain, **changes})
