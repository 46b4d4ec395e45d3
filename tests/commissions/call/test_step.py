"""What an undo would change, said in a few words."""

from dataclasses import replace
from decimal import Decimal

import pytest

from studio.commissions.call.step import step
from studio.lattice.design import (
    AllOver,
    Band,
    Bands,
    BorderAndField,
    Design,
    Drift,
    Infill,
    Rings,
    TouchUp,
)
from studio.voice import Voice

LEAF, WEAVE = Infill(pattern="hemp-leaf", filament="Tea"), Infill(pattern="basket-weave", filament="Indigo")
PLAIN = Design(
    lattice_filament="Oak",
    edging_filament="Oak",
    arrangement=BorderAndField(field=LEAF, border=WEAVE, border_cells=2),
)


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({}, ""),
        ({"depth_mm": Decimal("12.5")}, "depth 12.5 mm → 12 mm"),
        ({"lit": True}, "light lit from behind → not lit"),
        ({"hanger": "rail"}, "hung by rail → the cheapest that holds"),
        ({"light_strip": "warm"}, "light strip warm → as the catalogue has it"),
        ({"light_diffuser_mm": Decimal(60)}, "light to diffuser 60 mm → as the catalogue has it"),
        ({"columns": 9}, "columns 9 → as many as fit"),
        ({"lattice_filament": "Tea"}, "lattice tea → oak"),
        ({"backing": "sheet", "depth_mm": Decimal(15)}, "depth 15 mm → 12 mm and more"),
        ({"arrangement": AllOver(infill=LEAF)}, "all over → with a border"),
        (
            {"arrangement": BorderAndField(field=LEAF, border=LEAF, border_cells=2)},
            "hemp leaf → basket weave and more",
        ),
        (
            {"arrangement": BorderAndField(field=LEAF, border=WEAVE, border_cells=1)},
            "1-cell border → 2-cell border",
        ),
        ({"lattice": "three-way turned"}, "lattice turned three-way → three-way"),
        ({"angle_deg": Decimal("75.0")}, "angle of a cell 75° → 60°"),
        (
            {"touch_ups": (TouchUp(column=2, row=5, infill=WEAVE),)},
            "column 3, row 6 basket weave in indigo → as arranged",
        ),
        (
            {"touch_ups": (TouchUp(column=2, row=5, infill=WEAVE), TouchUp(column=3, row=5, infill=WEAVE))},
            "2 cells by hand",
        ),
        ({"mirror_touch_ups": True}, "cells mirrored → not mirrored"),
    ],
)
def test_the_first_difference(changed: dict, said: str) -> None:
    assert step(replace(PLAIN, **changed), PLAIN, Voice()) == said


def test_bands_are_counted() -> None:
    band = Band(infill=LEAF, cells=3)
    two, three = (replace(PLAIN, arrangement=Bands(bands=(band,) * count)) for count in (2, 3))
    assert step(three, two, Voice()) == "3 bands → 2"


def test_rings_are_counted_and_named() -> None:
    ring = Band(infill=LEAF, cells=3)
    one, two = (replace(PLAIN, arrangement=Rings(rings=(ring,) * count)) for count in (1, 2))
    assert step(two, one, Voice()) == "2 rings → 1"
    thin = replace(PLAIN, arrangement=Rings(rings=(replace(ring, cells=1),)))
    assert step(thin, one, Voice()) == "1-cell ring → 3-cell ring"
    aside = replace(PLAIN, arrangement=Rings(rings=(ring,), across_percent=Decimal("30.0")))
    assert step(aside, one, Voice()) == "30 % across → 50 % across"


def test_a_drift_is_thrown_again() -> None:
    drift = Drift(first=LEAF, second=WEAVE, seed=2)
    again = replace(PLAIN, arrangement=drift)
    assert step(again, replace(PLAIN, arrangement=replace(drift, seed=1)), Voice()) == "throw 2 → throw 1"


def test_fixed_seams() -> None:
    seamed = replace(PLAIN, seams_after_columns=(8, 16))
    assert step(PLAIN, seamed, Voice()) == "seams after columns where we put them → 8, 16"
    assert step(seamed, PLAIN, Voice()) == "seams after columns 8, 16 → where we put them"


def test_inches() -> None:
    inch, half = (replace(PLAIN, depth_mm=Decimal(mm)) for mm in ("25.4", "12.7"))
    assert step(inch, half, Voice(units="imperial")) == 'depth 1" → 1/2"'


def test_a_single_band_is_said_in_the_singular() -> None:
    one = replace(PLAIN, arrangement=Bands(bands=(Band(infill=LEAF, cells=3),)))
    two = replace(PLAIN, arrangement=Bands(bands=(Band(infill=LEAF, cells=3), Band(infill=WEAVE, cells=3))))
    assert step(one, two, Voice()) == "1 band → 2"
    assert step(two, one, Voice()) == "2 bands → 1"
