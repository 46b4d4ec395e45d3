from xml.etree import ElementTree as ET

import pytest

from studio.drawing.legend import legend
from studio.drawing.patch import patch_svg
from studio.lattice.design import LatticeKind
from studio.problem import Refused
from tests.drawing.panels import COLOURS, KINDS, composed
from tests.drawing.reading import area_of

PATH = "{http://www.w3.org/2000/svg}path"


@pytest.mark.parametrize("lattice", KINDS)
def test_a_piece_in_its_opening(lattice: LatticeKind) -> None:
    made = composed(lattice, 12, 10)
    for entry in legend(made, COLOURS):
        root = ET.fromstring(patch_svg(made, entry.pattern, entry.colour))
        opening, piece = root.findall(PATH)
        whole = next(p for p in made.pieces if p.pattern == entry.pattern)
        assert area_of(piece.get("d", "")) / 1000**2 == pytest.approx(whole.outline.area, rel=1e-3)
        assert area_of(opening.get("d", "")) > area_of(piece.get("d", ""))
        assert piece.get("fill") == entry.colour
        assert root.get("aria-hidden") == "true"


def test_what_the_panel_does_not_have() -> None:
    made = composed("square", 12, 10)
    with pytest.raises(ValueError, match="no-such"):
        patch_svg(made, "no-such", "#b08d57")
    with pytest.raises(Refused):
        patch_svg(made, made.pieces[0].pattern, "red")
