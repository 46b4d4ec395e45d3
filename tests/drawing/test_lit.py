from xml.etree import ElementTree as ET

import pytest

from studio.drawing.lit import lit_svg, shaded
from studio.lattice.design import LatticeKind
from studio.problem import Refused
from tests.drawing.panels import COLOURS, KINDS, composed, panel

NS = {"s": "http://www.w3.org/2000/svg"}


def read(made) -> ET.Element:  # type: ignore[no-untyped-def]
    return ET.fromstring(lit_svg(made, COLOURS, title="Lit", ident="l"))


@pytest.mark.parametrize("lattice", KINDS)
def test_dark_before_a_glowing_ground(lattice: LatticeKind) -> None:
    """Plain fills only: nothing that a strict content security policy or an old printer would not show."""
    root = read(composed(lattice, 12, 10))
    assert {item.tag.rpartition("}")[2] for item in root.iter()} == {
        "svg",
        "title",
        "desc",
        "rect",
        "g",
        "path",
    }
    assert not [item for item in root.iter() if item.get("stroke") or item.get("filter") or item.get("style")]
    wall, glow = root.findall("s:rect", NS)
    for filled in root.iterfind(".//*[@fill]", NS):
        if filled not in (wall, glow):
            assert brightness(filled) < brightness(glow) / 2
    assert brightness(wall) < brightness(glow) / 4
    assert root.findtext("s:desc", "", NS).endswith("Shown lit from behind.")


def brightness(item: ET.Element) -> int:
    colour = item.get("fill", "")
    return sum(int(colour[i : i + 2], 16) for i in (1, 3, 5)) if colour.startswith("#") else 0


def test_the_ground_ends_within_the_edging() -> None:
    """8 x 6 squares of 50 mm in an edging of 12."""
    _, glow = read(panel("square", 8, 6, 50)).findall("s:rect", NS)
    left, top, width, height = (int(glow.get(name, "")) for name in ("x", "y", "width", "height"))
    assert (left, top, width, height) == (-6000, -6000, 412_000, 312_000)


def test_a_colour_keeps_a_share_of_itself() -> None:
    assert shaded("#000000") == "#000000"
    assert shaded("#ffffff") == "#616161"  # 0.38 * 255 = 96.9


def test_a_colour_that_nobody_gave_is_refused() -> None:
    with pytest.raises(Refused, match="Walnut"):
        lit_svg(panel(), {"Tea": "#b08d57", "Indigo": "#234a6b"}, title="A", ident="a")
