"""Pictures of plates, by their content."""

from xml.etree import ElementTree as ET

import numpy as np
import pytest
import shapely

from studio.drawing.plate_picture import plate_svg
from studio.making.plates import plates_for
from studio.problem import Refused
from tests.drawing.reading import area_of, rings_of
from tests.making.made import TEA, part, plate_with_holes, printer, slab, triangle

NS = {"s": "http://www.w3.org/2000/svg"}
PRINTER = printer(margin_mm=8)
PARTS = [
    part(triangle(40), 20, nests="triangle", pattern="hemp-leaf"),
    part(slab(200, 12), 1, code="rail", pattern="", size="200 mm"),
]


def drawn(parts=PARTS) -> ET.Element:  # type: ignore[no-untyped-def]
    (plate,) = plates_for(parts, [PRINTER], [TEA])
    return ET.fromstring(plate_svg(plate, parts, [PRINTER], {"Tea": "#b98a5a"}, title="Plate 1", ident="p1"))


def paths(root: ET.Element, name: str) -> list[str]:
    return [found.get("d", "") for found in root.findall(f".//s:path[@class='{name}']", NS)]


def test_every_piece_is_drawn_as_large_as_it_is() -> None:
    data = paths(drawn(), "infill")
    assert sum(len(rings_of(each)) for each in data) == 20
    assert sum(area_of(each) for each in data) == pytest.approx(20 * triangle(40).area * 1e6, rel=1e-4)


def test_pieces_lie_within_the_margin_on_the_bed() -> None:
    root = drawn()
    corners = np.vstack(
        [ring for name in ("infill", "rail") for each in paths(root, name) for ring in rings_of(each)]
    )
    (bed,), (usable,) = paths(root, "bed"), paths(root, "margin")
    assert np.ptp(rings_of(bed)[0], axis=0).tolist() == [256_000, 256_000]
    inside = rings_of(usable)[0]
    assert (corners.min(axis=0) >= inside.min(axis=0)).all()
    assert (corners.max(axis=0) <= inside.max(axis=0)).all()
    left, top, width, height = map(float, root.get("viewBox", "").split())
    assert (left, top) == (-5120, -256_000 - 5120)
    assert (width, height) == (266_240, 266_240)


def test_faces_whose_openings_are_only_counted_have_an_edge_and_let_the_bed_through() -> None:
    face = plate_with_holes(100, 5, 4)[1]
    root = drawn([part(face, 1)])
    (seen,) = root.findall(".//s:path[@class='infill']", NS)
    assert any(ring.count > 1 for ring in face.rings)
    assert seen.get("stroke")
    assert float(seen.get("fill-opacity", "1")) < 1
    (whole,) = drawn([part(slab(100, 100), 1)]).findall(".//s:path[@class='infill']", NS)
    assert (whole.get("stroke"), whole.get("fill-opacity")) == (None, None)


def test_it_is_told_in_words() -> None:
    root = drawn()
    assert root.findtext("s:title", "", NS) == "Plate 1"
    assert root.get("role") == "img"
    said = root.findtext("s:desc", "", NS)
    assert said.startswith("21 pieces in Tea on a bed of 256 mm by 256 mm: ")
    assert "20 infill, hemp-leaf whole" in said
    assert "1 rail, 200 mm" in said


def test_openings_that_are_only_counted_show_as_a_tint() -> None:
    _, counted = plate_with_holes(120, 20, 4)
    root = drawn([part(counted, 1, code="section", pattern="", size="A")])
    (section,) = root.findall(".//s:path[@class='section']", NS)
    assert float(section.get("fill-opacity", "1")) < 1


def test_a_filament_without_a_colour_is_refused() -> None:
    (plate,) = plates_for(PARTS, [PRINTER], [TEA])
    with pytest.raises(Refused, match="Tea"):
        plate_svg(plate, PARTS, [PRINTER], {}, title="x", ident="x")


def test_whatever_is_typed_stays_text() -> None:
    parts = [part(shapely.box(0, 0, 9, 9), 1, size="<b>&")]
    (plate,) = plates_for(parts, [PRINTER], [TEA])
    text = plate_svg(plate, parts, [PRINTER], {"Tea": "#b98a5a"}, title='"><script>', ident="x")
    assert "<script>" not in text
    assert "<b>" not in text
