"""Briefs as callers might give them, drawn from a seed: small enough for every combination of what they can
give up to be priced."""

from dataclasses import replace
from decimal import Decimal
from random import Random

from studio.estimate.brief import Brief
from studio.lattice.design import (
    AllOver,
    Alternating,
    Arrangement,
    Band,
    Bands,
    BorderAndField,
    Design,
    Drift,
    Infill,
    Rings,
    Rosettes,
    Space,
)
from studio.lattice.patterns import patterns
from studio.pricing.terms import Terms
from tests.lattice.cast import LATTICES

__all__ = ["random_brief"]

FILAMENTS = ("Tea", "Indigo", "Walnut")


def random_brief(seed: int, largest_mm: int = 700) -> Brief:
    """Filaments are those of the example rate book."""
    draw = Random(seed)
    lattice = draw.choice(LATTICES)
    backing = draw.choice(["none", "none", "sheet", "diffuser"])
    design = Design(
        lattice=lattice,
        cell_side_mm=Decimal(draw.choice(["34", "40", "44", "52"])),
        lattice_filament="Walnut",
        edging_filament=draw.choice(["Walnut", "Tea"]),
        edging_width_mm=Decimal(draw.choice([0, 12])),
        depth_mm=Decimal(draw.choice([8, 12, 16])),
        arrangement=_arrangement(draw, lattice),
        backing=backing,
        lit=backing == "diffuser" and draw.random() < 0.6,
    )
    space = Space(
        widths_mm=(Decimal(draw.randrange(280, largest_mm)),),
        heights_mm=(Decimal(draw.randrange(280, largest_mm)),),
        mounting=draw.choice(["wall", "wall", "free-standing", "in a frame"]),
    )
    terms = Terms(
        client_kind=draw.choice(["consumer", "business"]),
        delivery=draw.choice(["delivered and hung", "delivered and hung", "delivered", "collected"]),
        distance_km=Decimal(draw.choice([0, 8, 35])),
    )
    return Brief(design=design, space=space, terms=terms)


def _arrangement(draw: Random, lattice: str) -> Arrangement:
    slugs = sorted(each.slug for each in patterns(lattice) if not each.is_open)  # type: ignore[arg-type]
    one, other, third = (
        Infill(pattern=draw.choice(slugs), filament=filament) for filament in draw.sample(FILAMENTS, 3)
    )
    other = replace(other, filament=draw.choice([one.filament, other.filament]))
    bands = tuple(Band(infill=each, cells=draw.randint(1, 3)) for each in (one, other, third))
    return draw.choice(
        [
            AllOver(infill=one),
            Alternating(first=one, second=other),
            Bands(bands=bands),
            BorderAndField(border=one, border_cells=1, field=other),
            Drift(first=one, second=other, seed=draw.randint(1, 999)),
            Rings(rings=bands[:2]),
            Rosettes(rosette=one, field=other),
        ]
    )
