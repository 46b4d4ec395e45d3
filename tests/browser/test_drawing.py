"""What Chromium paints of a drawing covers, filament by filament, as much as the geometry says."""

import io
from xml.etree import ElementTree as ET

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image
from playwright.sync_api import Browser
from shapely import union_all

from studio.drawing.colour import needs_edge, rgb
from studio.drawing.elevation import elevation_svg
from studio.drawing.strips import lattice_strips
from studio.lattice.design import LatticeKind
from tests.drawing.panels import KINDS, composed

COLOURS = {"Tea": "#e04040", "Indigo": "#20a050", "Walnut": "#4060f0"}
"""Any mixture of these and white, as at the edges of what is drawn, tells how much of each is in it."""
FINE = 3
"""Pixels in one px: with 5 pixels across a bar, the browser's own smoothing is up to 0.7 % off."""


def painted(browser: Browser, text: str) -> dict[str, float]:
    """mm2 of each colour; a drawing unit is a thousandth of a millimetre."""
    width = float(ET.fromstring(text).get("viewBox", "").split()[2])
    page = browser.new_page(viewport={"width": 1000, "height": 1300}, device_scale_factor=FINE)
    page.set_content(f'<body style="margin:0"><div style="width:1000px">{text}</div>')
    png = page.locator("svg").screenshot()
    page.close()
    missing: NDArray[np.float64] = 1 - np.asarray(Image.open(io.BytesIO(png)).convert("RGB")) / 255
    inks = 1 - np.array([rgb(colour) for colour in COLOURS.values()])
    pixels = np.linalg.solve(inks.T, missing.reshape(-1, 3).sum(axis=0))
    return dict(zip(COLOURS, pixels * (width / 1000 / 1000 / FINE) ** 2, strict=True))


@pytest.mark.parametrize("lattice", KINDS)
def test_painted_area(browser: Browser, lattice: LatticeKind) -> None:
    made = composed(lattice, 8, 9, edging="0", infill_strip="1.75")
    text = elevation_svg(made, COLOURS, title="A", with_dimensions=False, ident="a")
    true = {"Walnut": union_all(lattice_strips(made)).area, "Tea": 0.0, "Indigo": 0.0}
    for piece, filament in zip(made.piece, made.filament, strict=True):
        if piece >= 0:
            true[made.filaments[filament]] += made.pieces[piece].outline.area
    assert not any(map(needs_edge, COLOURS.values()))
    for filament, area in painted(browser, text).items():
        assert area == pytest.approx(true[filament], rel=0.005), filament
