"""What an undo would change, said in a few words."""

from dataclasses import replace
from decimal import Decimal

import pytest

from studio.commissions.step import step
from studio.lattice.design import AllOver, Band, Bands, BorderAndField, Design, Infill

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
    ],
)
def test_the_first_difference(changed: dict, said: str) -> None:
    assert step(replace(PLAIN, **changed), PLAIN, "metric") == said


def test_bands_are_counted() -> None:
    band = Band(infill=LEAF, cells=3)
    two, three = (replace(PLAIN, arrangement=Bands(bands=(band,) * count)) for count in (2, 3))
    assert step(three, two, "metric") == "3 bands → 2"


def test_inches() -> None:
    inch, half = (replace(PLAIN, depth_mm=Decimal(mm)) for mm in ("25.4", "12.7"))
    assert step(inch, half, "imperial") == 'depth 1" → 1/2"'
