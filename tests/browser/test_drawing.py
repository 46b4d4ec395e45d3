"""What Chromium paints of a drawing covers as much as the geometry says."""

import io
from xml.etree import ElementTree as ET

import numpy as np
import pytest
from PIL import Image
from playwright.sync_api import Browser
from shapely import union_all

from studio.drawing.elevation import elevation_svg
from studio.drawing.strips import lattice_strips
from tests.drawing.panels import panel

RED = "#c00000"  # its blue is none, the sheet's is full: the blue that is missing is what was painted


@pytest.mark.parametrize("lattice", ["three-way", "square"])
def test_painted_area(browser: Browser, lattice: str) -> None:
    composed = panel(lattice, 8, 9, edging="0", every_nth_open=5)  # type: ignore[arg-type]
    colours = dict.fromkeys(("Tea", "Indigo", "Walnut"), RED)
    text = elevation_svg(composed, colours, title="A", with_dimensions=False, ident="a")
    width, height = map(float, ET.fromstring(text).get("viewBox", "").split()[2:])
    page = browser.new_page(viewport={"width": 1000, "height": 1300})
    page.set_content(f'<body style="margin:0"><div style="width:1000px">{text}</div>')
    png = page.locator("svg").screenshot()
    page.close()
    blue = np.asarray(Image.open(io.BytesIO(png)).convert("RGB"))[:, :, 2] / 255
    painted_mm2 = (1 - blue).sum() * (width / 1000 / 10) ** 2
    pieces = sum(composed.pieces[p].outline.area for p in composed.piece[composed.piece >= 0])
    # corners lie on tenths of a millimetre, which makes slanting bars of 2 mm up to 1 % slimmer
    assert painted_mm2 == pytest.approx(union_all(lattice_strips(composed)).area + pieces, rel=0.01)
    assert blue.shape[0] == pytest.approx(1000 * height / width, abs=1)
