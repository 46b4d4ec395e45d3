from xml.etree import ElementTree as ET

import pytest

from studio.drawing.section_plan import section_plan_svg
from studio.lattice.bill import Section
from studio.lattice.design import LatticeKind, WayIn
from studio.lattice.sections import BedLimit, divide
from tests.drawing.panels import KINDS, composed, panel
from tests.drawing.reading import area_of, rings_of

NS = {"s": "http://www.w3.org/2000/svg"}


def section(column: int, columns: int, row: int, rows: int, module: int) -> Section:
    return Section(column, columns, row, rows, 0.0, 0.0, columns * rows, module)


def plan(composed, sections):  # type: ignore[no-untyped-def]
    return ET.fromstring(section_plan_svg(composed, sections, title="Sections", ident="p"))


def data(root: ET.Element, class_: str) -> str:
    return root.find(f"s:path[@class='{class_}']", NS).get("d", "")  # type: ignore[union-attr]


def test_four_sections_in_two_modules_of_a_square_lattice() -> None:
    """8 x 6 squares of 50 mm, halved both ways; the modules are the halves left and right."""
    sections = [section(c, 4, r, 3, c // 4) for c in (0, 4) for r in (0, 3)]
    root = plan(panel("square", 8, 6, 50), sections)
    assert [item.text for item in root.iterfind(".//s:text", NS)] == ["1", "2", "3", "4"]
    places = [(int(item.get("x")) / 10, int(item.get("y")) / 10) for item in root.iterfind(".//s:text", NS)]
    assert [x for x, _ in places] == [100, 100, 300, 300]  # mm, in the middle of each
    assert [150 < y < 300 for _, y in places] == [
        True,
        False,
        True,
        False,
    ]  # counted from below, drawn downwards
    assert len(rings_of(data(root, "sections"))) == 4
    assert [len(ring) for ring in rings_of(data(root, "modules"))] == [4, 4]
    assert area_of(data(root, "sections")) == area_of(data(root, "modules")) == 400_000 * 300_000
    assert root.findtext("s:desc", "", NS) == "4 sections in 2 modules, seen from the front."


def test_a_level_seam_of_a_three_way_lattice_zigzags() -> None:
    """2/sqrt(3) times as long as the panel is wide: one slanted cell side per column."""
    composed = panel("three-way", 6, 8)
    root = plan(composed, [section(0, 6, 0, 5, 0), section(0, 6, 5, 4, 0)])
    lower, upper = rings_of(data(root, "sections"))
    assert len(lower) == 2 + 6 + 1  # the two lower corners and the seam's points
    assert len(upper) == 2 + 6 + 1
    assert area_of(data(root, "sections")) == area_of(data(root, "modules"))


@pytest.mark.parametrize("lattice", KINDS)
def test_sections_of_every_lattice_make_up_the_panel(lattice: LatticeKind) -> None:
    made = composed(lattice, 24, 20)
    sections, _, modules = divide(made.fit, made.design, [BedLimit(250, 250, 250)], WayIn(), 120)
    root = plan(made, sections)
    assert [item.text for item in root.iterfind(".//s:text", NS)] == [
        str(i + 1) for i in range(len(sections))
    ]
    whole = made.fit.lattice_width_mm * made.fit.lattice_height_mm
    for class_ in ("sections", "modules"):
        assert area_of(data(root, class_)) / 1000**2 == pytest.approx(whole, rel=1e-3)
    assert len(sections) > 1
    assert f"in {len(modules)} module" in root.findtext("s:desc", "", NS)
