import re
from decimal import Decimal
from xml.etree import ElementTree as ET

import pytest

from studio.drawing.space import CENTRE_MM, bottom_mm, space_svg
from studio.lattice.design import Space
from tests.drawing.panels import COLOURS, panel

NS = {"s": "http://www.w3.org/2000/svg"}
PANEL = panel("square", 10, 6, 60)  # 624 x 384 with its edging


def space(**more: object) -> Space:
    sizes = {"widths_mm": (Decimal(700), Decimal(690)), "heights_mm": (Decimal(400),)}
    return Space(**(sizes | more))  # type: ignore[arg-type]


def read(where: Space) -> ET.Element:
    return ET.fromstring(space_svg(PANEL, COLOURS, where, title="Hall", ident="h"))


def path(root: ET.Element, class_: str) -> str:
    return root.find(f"s:path[@class='{class_}']", NS).get("d", "")  # type: ignore[union-attr]


def test_the_default_centre_lies_in_the_viewing_band() -> None:
    """1100 to 1675 mm: Glasgow Museums, Display Guidelines."""
    assert 1450 <= CENTRE_MM <= 1550
    assert bottom_mm(PANEL, space()) + 384 / 2 == CENTRE_MM


def test_where_the_panel_hangs() -> None:
    assert bottom_mm(PANEL, space(floor_to_bottom_mm=Decimal(1050))) == 1050
    assert bottom_mm(PANEL, space(mounting="free-standing")) == 0
    assert bottom_mm(panel("square", 1, 60, 60), space()) == 0  # taller than its centre allows


def test_the_floor_lies_as_far_below_as_the_figure_says() -> None:
    root = read(space(floor_to_bottom_mm=Decimal(1050)))
    (floor,) = re.findall(r"M-?\d+ (-?\d+)H", path(root, "floor"))
    assert int(floor) - (360_000 + 12_000) == 1_050_000
    assert [item.text for item in root.iterfind(".//s:text", NS)] == ["1050"]


def test_the_smallest_opening_is_drawn() -> None:
    left, _, right, _ = map(int, re.findall(r"-?\d+", path(read(space()), "opening"))[:4])
    assert right - left == 690_000


@pytest.mark.parametrize("more", [{}, {"mounting": "free-standing"}, {"floor_to_bottom_mm": Decimal(3000)}])
def test_everything_lies_in_the_frame(more: dict[str, object]) -> None:
    root = read(space(**more))
    left, top, width, height = map(float, root.get("viewBox", "").split())
    for class_ in ("opening", "person", "floor"):
        for x, y in re.findall(r"[ML](-?\d+) (-?\d+)", path(root, class_)):
            assert left <= int(x) <= left + width
            assert top <= int(y) <= top + height
