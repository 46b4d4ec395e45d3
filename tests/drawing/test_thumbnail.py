from xml.etree import ElementTree as ET

import numpy as np
import pytest

from studio.drawing.thumbnail import thumbnail_svg
from studio.lattice.design import LatticeKind
from tests.drawing.panels import COLOURS, KINDS, composed, panel
from tests.drawing.reading import area_of

SIZES = {"three-way": (54, 55), "three-way turned": (55, 54), "square": (54, 55), "diamond": (40, 38)}
PATH = "{http://www.w3.org/2000/svg}path"


@pytest.mark.parametrize("lattice", KINDS)
def test_three_thousand_cells_are_small_and_legible_to_a_parser(lattice: LatticeKind) -> None:
    text = thumbnail_svg(composed(lattice, *SIZES[lattice]), COLOURS, title="A & B", ident="t")
    assert len(text.encode()) <= 12_000
    root = ET.fromstring(text)
    assert root[0].text == "A & B"
    assert root.get("aria-labelledby") == root[0].get("id") == "t-title"
    assert "<text" not in text


def test_tints_cover_their_cells_as_densely_as_their_pieces() -> None:
    """20 x 10 squares of 50 mm with a border of one: 18 x 8 inside."""
    composed = panel("square", 20, 10, 50, border=1)
    field, border = ET.fromstring(thumbnail_svg(composed, COLOURS, title="t", ident="t")).findall(PATH)[:2]
    assert (field.get("fill"), border.get("fill")) == (COLOURS["Tea"], COLOURS["Indigo"])
    assert area_of(field.get("d", "")) == 18 * 8 * 50_000**2
    assert area_of(border.get("d", "")) == (20 * 10 - 18 * 8) * 50_000**2
    density = composed.pieces[0].outline.area / 50**2
    assert float(field.get("fill-opacity", "")) == pytest.approx(density, abs=0.005)


def test_open_cells_stay_open() -> None:
    composed = panel("square", 20, 10, 50, every_nth_open=2)
    tint = ET.fromstring(thumbnail_svg(composed, COLOURS, title="t", ident="t")).findall(PATH)[0]
    assert area_of(tint.get("d", "")) == 100 * 50_000**2


def test_a_few_cells_are_drawn_piece_by_piece() -> None:
    text = thumbnail_svg(panel("three-way", 6, 8), COLOURS, title="t", ident="t")
    assert 'class="infills"' in text
    assert len(text.encode()) <= 12_000


@pytest.mark.parametrize("lattice", KINDS)
def test_tints_of_every_lattice_cover_their_cells(lattice: LatticeKind) -> None:
    made = composed(lattice, 24, 20)
    tints = [
        p for p in ET.fromstring(thumbnail_svg(made, COLOURS, title="t", ident="t")) if p.get("fill-opacity")
    ]
    areas = np.array(made.cell_area_mm2)[made.shape]
    for colour, filament in ((COLOURS["Tea"], "Tea"), (COLOURS["Indigo"], "Indigo")):
        drawn = sum(area_of(p.get("d", "")) for p in tints if p.get("fill") == colour) / 1000**2
        cells = areas[(made.filament == made.filaments.index(filament)) & (made.piece >= 0)].sum()
        assert drawn == pytest.approx(cells, rel=0.002)
