import re
from decimal import Decimal
from itertools import pairwise
from typing import get_args
from xml.etree import ElementTree as ET

import pytest

from studio.drawing.furniture import FURNITURE
from studio.drawing.space import CENTRE_MM, bottom_mm, space_svg
from studio.lattice.design import Furniture, Space
from tests.drawing.panels import COLOURS, panel
from tests.estimate.said import TAPED

NS = {"s": "http://www.w3.org/2000/svg"}
PANEL = panel("square", 10, 6, 60)  # 624 x 384 with its edging


def space(**more: object) -> Space:
    sizes = {"widths_mm": (Decimal(700), Decimal(690)), "heights_mm": (Decimal(400),)}
    return Space(**(TAPED | sizes | more))  # type: ignore[arg-type]


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
    left, _, right, _ = extent_of_opening(read(space()))
    assert right - left == 690_000


NEAR = [
    ("desk",),
    ("bench", "door"),
    ("sofa", "sideboard"),
    ("bed", "door", "desk", "bench"),
    ("bench", "bench"),
]


def extent(data: str) -> tuple[int, int, int, int]:
    """Left, top, right, bottom of boxes (M, h, v, h, z) and of lines."""
    x, y = zip(*(map(int, point) for point in re.findall(r"[ML](-?\d+) (-?\d+)", data)), strict=True)
    boxes = re.findall(r"M(-?\d+) (-?\d+)h(\d+)v(\d+)", data)
    right = [int(left) + int(wide) for left, _, wide, _ in boxes]
    bottom = [int(top) + int(high) for _, top, _, high in boxes]
    return min(x), min(y), max([*x, *right]), max([*y, *bottom])


def test_usual_heights() -> None:
    """A table 740 mm: common practice; the others from memory."""
    heights = {name: thing.height_mm for name, thing in FURNITURE.items()}
    assert heights == {"desk": 740, "bench": 450, "bed": 500, "door": 2000, "sofa": 800, "sideboard": 800}
    assert set(FURNITURE) == set(get_args(Furniture))
    for thing in FURNITURE.values():
        assert max(bottom + height for _, bottom, _, height in thing.boxes) == thing.height_mm
        assert max(left + width for left, _, width, _ in thing.boxes) == thing.width_mm
        assert min(min(left, bottom) for left, bottom, _, _ in thing.boxes) == 0


@pytest.mark.parametrize("near", NEAR)
@pytest.mark.parametrize("more", [{}, {"mounting": "free-standing"}, {"floor_to_bottom_mm": Decimal(600)}])
def test_furniture_stands_on_the_floor_and_on_nobodys_feet(near, more) -> None:  # type: ignore[no-untyped-def]
    root = read(space(stands_near=near, **more))
    (floor,) = map(int, re.findall(r"M-?\d+ (-?\d+)H", path(root, "floor")))
    things = [item for name in set(near) for item in root.iterfind(f"s:path[@class='{name}']", NS)]
    assert len(things) == len(near)
    taken = sorted(extent(item.get("d", "")) for item in things)
    taken.insert(0, extent(path(root, "person")))
    for left, right in pairwise(taken):
        assert left[2] < right[0]
    assert {round(bottom / 10) for *_, bottom in taken} == {round(floor / 10)}
    for item, box in zip(things, map(extent, (item.get("d", "") for item in things)), strict=True):
        thing = FURNITURE[item.get("class", "")]
        assert (box[2] - box[0], box[3] - box[1]) == (1000 * thing.width_mm, 1000 * thing.height_mm)
    left, top, width = map(float, root.get("viewBox", "").split()[:3])
    assert left <= taken[0][0]
    assert taken[-1][2] <= left + width
    assert min(box[1] for box in taken) >= top


def test_the_way_from_a_desk_to_the_panel_is_dimensioned() -> None:
    root = read(space(stands_near=("desk",), floor_to_bottom_mm=Decimal(1050)))
    assert [item.text for item in root.iterfind(".//s:text", NS)] == ["desk", "1050", "740", "310"]
    assert root.findtext("s:desc", "", NS).endswith("Below it a desk 740 mm high.")


def test_a_sofa_before_the_panel_leaves_no_way_to_dimension() -> None:
    root = read(space(stands_near=("sofa",), floor_to_bottom_mm=Decimal(600)))
    assert [item.text for item in root.iterfind(".//s:text", NS)] == ["sofa", "600", "800"]


def test_a_free_standing_panel_has_its_furniture_beside_it_and_its_opening_above_the_floor() -> None:
    root = read(space(stands_near=("desk", "door"), mounting="free-standing"))
    opening, floor = extent_of_opening(root), extent(path(root, "floor"))
    assert opening[3] == floor[1]
    assert opening[3] - opening[1] == 400_000
    assert extent(path(root, "desk"))[0] > opening[2]
    assert "Beside it a desk 740 mm high, a door 2000 mm high." in root.findtext("s:desc", "", NS)


def extent_of_opening(root: ET.Element) -> tuple[int, ...]:
    return tuple(map(int, re.findall(r"-?\d+", path(root, "opening"))[:4]))


@pytest.mark.parametrize("more", [{}, {"mounting": "free-standing"}, {"floor_to_bottom_mm": Decimal(3000)}])
def test_everything_lies_in_the_frame(more: dict[str, object]) -> None:
    root = read(space(**more))
    left, top, width, height = map(float, root.get("viewBox", "").split())
    for class_ in ("opening", "person", "floor"):
        for x, y in re.findall(r"[ML](-?\d+) (-?\d+)", path(root, class_)):
            assert left <= int(x) <= left + width
            assert top <= int(y) <= top + height


def test_who_cannot_see_it_hears_that_the_opening_is_not_measured() -> None:
    told = {
        origin: read(space(width_origin=origin, height_origin="taped by us")).findtext("s:desc", "", NS)
        for origin in ("said", "taped by the client")
    }
    assert told["said"] == told["taped by the client"] + " The opening is not measured yet."
