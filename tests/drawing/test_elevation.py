import gzip
import re
from xml.etree import ElementTree as ET

import pytest

from studio.drawing.elevation import detail_svg, elevation_svg
from studio.problem import Refused
from tests.drawing.panels import COLOURS, panel
from tests.drawing.reading import area_of

NS = {"s": "http://www.w3.org/2000/svg"}


def draw(composed, **more):  # type: ignore[no-untyped-def]
    return elevation_svg(composed, COLOURS, **{"title": "Option B", "ident": "b"} | more)


def read(text: str) -> ET.Element:
    return ET.fromstring(text)


def texts(root: ET.Element) -> list[str]:
    return [item.text or "" for item in root.iterfind(".//s:text", NS)]


def test_dimensions_are_the_sizes_of_the_fit() -> None:
    """31 columns of 44 mm are 1181.3 between centre lines, and 1205.3 with two edgings of 12 mm."""
    composed = panel("three-way", 31, 34)
    assert sorted(texts(read(draw(composed)))) == sorted(
        ["mm", "31 columns: 1181.3", "1205.3", "17 cells: 748", "772", "44"]
    )
    assert (composed.fit.width_mm, composed.fit.height_mm) == (pytest.approx(1205.3, abs=0.05), 772)


def test_inches() -> None:
    assert set(texts(read(draw(panel("square", 10, 6, 60), units="imperial")))) == {
        '10 columns: 23 5/8"', '24 9/16"', '6 rows: 14 3/16"', '15 1/8"', '2 3/8"',
    }  # fmt: skip


def test_without_an_edging_no_size_is_given_twice() -> None:
    assert texts(read(draw(panel("square", 10, 6, 60, edging="0")))) == [
        "mm", "10 columns: 600", "6 rows: 360", "60",
    ]  # fmt: skip


def test_half_a_side_is_said() -> None:
    assert "15½ cells: 682" in texts(read(draw(panel("three-way", 12, 31))))
    assert "½ cell: 50" in texts(read(draw(panel("three-way", 1, 1, 100, edging="0"))))


def test_a_picture_with_a_name_and_a_description() -> None:
    root = read(draw(panel("square", 3, 2, 50, border=1), title='"A" <b>\x0b& co', ident="x1"))
    assert root.get("role") == "img"
    assert root.get("aria-labelledby") == "x1-title x1-desc"
    assert [child.get("id") for child in root][:2] == ["x1-title", "x1-desc"]
    assert root.findtext("s:title", "", NS) == '"A" <b> & co'
    told = root.findtext("s:desc", "", NS)
    assert "174 mm wide and 124 mm high, cells of 50 mm" in told
    assert "6 star in Indigo" in told


def test_markup_in_names_stays_text() -> None:
    composed = panel("square", 3, 2, 50, filaments=("<script>alert(1)</script>", "Indigo"))
    colours = COLOURS | {"<script>alert(1)</script>": "#b08d57"}
    text = elevation_svg(composed, colours, title="</title><script>", ident='"><b')
    assert "<script" not in text
    assert "script>alert(1)" in read(text).findtext("s:desc", "", NS)


def test_no_styles_and_no_scripts_for_a_strict_content_security_policy() -> None:
    for item in read(draw(panel(border=1))).iter():
        assert item.tag.rpartition("}")[2] in {"svg", "title", "desc", "g", "path", "text"}
        assert not {name for name in item.keys() if name == "style" or name.startswith("on")}  # noqa: SIM118


def test_every_filled_cell_is_drawn_once_in_its_colour() -> None:
    composed = panel("three-way", 12, 14, border=1, every_nth_open=7)
    paths = read(draw(composed)).findall("s:g[@class='infills']/s:path", NS)
    drawn = {"#b08d57": 0, "#234a6b": 0}
    for path in paths:
        drawn[path.get("fill", "")] += path.get("d", "").count("M")
    assert drawn == {
        "#b08d57": int((composed.filament == 0).sum()),
        "#234a6b": int((composed.filament == 1).sum()),
    }
    assert sum(drawn.values()) == 12 * 15 - 26  # 180 cells, each seventh of which is open


def test_all_that_is_drawn_lies_in_the_frame() -> None:
    for composed in (panel("square", 2, 20, 44), panel("three-way", 60, 3, 44), panel("square", 1, 1, 10)):
        root = read(draw(composed))
        left, top, width, height = map(float, root.get("viewBox", "").split())
        for path in root.iter(f"{{{NS['s']}}}path"):
            for x, y in re.findall(r"[ML](-?\d+) (-?\d+)", path.get("d", "")):
                assert left <= int(x) <= left + width
                assert top <= int(y) <= top + height


@pytest.mark.parametrize("columns", [2, 30, 200])
def test_figures_keep_their_size_on_the_screen(columns: int) -> None:
    """Capitals of 3 mm on a picture of 185 mm, whatever the panel's size."""
    root = read(draw(panel("square", columns, max(1, columns // 2), 50)))
    width = float(root.get("viewBox", "").split()[2])
    size = float(root.find("s:g[@class='figures']", NS).get("font-size"))  # type: ignore[union-attr, arg-type]
    assert size * 0.66 / width * 185 == pytest.approx(3, rel=0.01)


def test_edges_only_where_the_sheet_would_swallow_a_colour() -> None:
    root = read(draw(panel("square", 8, 6, 50, border=1, filaments=("Chalk", "Tea"))))
    for path in root.iterfind("s:g[@class='infills']/s:path", NS):
        assert (path.get("stroke") is not None) == (path.get("fill") == "#ffffff")


def test_three_thousand_cells_are_small() -> None:
    composed = panel("three-way", 54, 55, border=2)
    assert len(composed.piece) == 3024
    assert len(gzip.compress(draw(composed).encode(), 1)) <= 35_000


def test_a_colour_that_nobody_gave_is_refused() -> None:
    with pytest.raises(Refused, match="Walnut"):
        elevation_svg(panel(), {"Tea": "#b08d57"}, title="A", ident="a")


def test_a_panel_of_open_cells_says_so() -> None:
    root = read(draw(panel("square", 3, 2, 50, every_nth_open=1)))
    assert root.findtext("s:desc", "", NS).endswith("All cells are open.")
    assert root.find("s:g[@class='infills']", NS) is None


def test_a_detail_shows_the_upper_left_corner_and_not_the_whole_panel() -> None:
    composed = panel("three-way", 54, 55, border=2)
    root = read(detail_svg(composed, COLOURS, title="Detail", ident="d"))
    left, top, width, height = map(float, root.get("viewBox", "").split())
    assert (left, top) == (-120, -120)
    assert (width, height) == (pytest.approx(120 + 4 * 381 + 110, abs=2), 120 + 3 * 440 + 110)
    cells = sum(path.get("d", "").count("M") for path in root.iterfind("s:g[@class='infills']/s:path", NS))
    assert 12 < cells < 400
    shown = [
        (left <= int(x) <= left + width and top <= int(y) <= top + height)
        for path in root.iterfind("s:g[@class='infills']/s:path", NS)
        for x, y in re.findall(r"M(-?\d+) (-?\d+)", path.get("d", ""))
    ]
    whole = read(draw(composed, with_dimensions=False))
    in_whole = [
        (left <= int(x) <= left + width and top <= int(y) <= top + height)
        for path in whole.iterfind("s:g[@class='infills']/s:path", NS)
        for x, y in re.findall(r"M(-?\d+) (-?\d+)", path.get("d", ""))
    ]
    assert sum(shown) == sum(in_whole) > 20


def test_the_edging_has_its_area() -> None:
    root = read(draw(panel("square", 4, 3, 50)))
    data = root.find("s:path[@class='edging']", NS).get("d")  # type: ignore[union-attr]
    assert area_of(data or "") == 100 * (224 * 174 - 200 * 150)
