import gzip
import re
from xml.etree import ElementTree as ET

import numpy as np
import pytest

from studio.drawing.elevation import elevation_svg
from studio.drawing.panel_dimensions import dimensions_of
from studio.drawing.strips import strip_lines
from studio.problem import Refused
from studio.voice import PLAIN, Voice
from tests.drawing.panels import COLOURS, KINDS, panel
from tests.drawing.panels import composed as real
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


def test_dimensions_lie_outside_the_panel_and_one_beyond_the_other() -> None:
    """8 x 6 squares of 50 mm, an edging of 12 mm: the panel goes from -12 to 412 and to 312 mm, y down."""
    level, upright, side, whole, high = dimensions_of(panel("square", 8, 6, 50), 100.0, PLAIN)
    assert 312_000 < level.line < whole.line
    assert high.line < upright.line < -12_000
    assert side.line > 412_000
    assert (upright.start, upright.end, high.start, high.end) == (300_000, 0, 312_000, -12_000)


def test_inches() -> None:
    assert set(texts(read(draw(panel("square", 10, 6, 60), voice=Voice(units="imperial"))))) == {
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
    groups = read(draw(composed)).findall("s:g[@class='infills']/s:g", NS)
    drawn = {group.get("fill"): sum(path.get("d", "").count("M") for path in group) for group in groups}
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
    figures = root.find("s:g[@class='figures']", NS)
    assert figures is not None
    size = float(figures.get("font-size", ""))
    assert size < 10_000  # the largest that browsers draw
    assert figures.get("transform") == "scale(100)"
    assert size * 100 * 0.66 / width * 185 == pytest.approx(3, rel=0.01)


def test_edges_only_where_the_sheet_would_swallow_a_colour() -> None:
    root = read(draw(panel("square", 8, 6, 50, border=1, filaments=("Chalk", "Tea"))))
    groups = root.findall("s:g[@class='infills']/s:g", NS)
    assert [group.get("fill") for group in groups] == ["#ffffff", "#b08d57"]
    for group in groups:
        edged = group.get("fill") == "#ffffff"
        assert (group.get("stroke") is not None) == edged
        assert {path.get("vector-effect") for path in group} == {"non-scaling-stroke" if edged else None}


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


def test_the_edging_has_its_area() -> None:
    root = read(draw(panel("square", 4, 3, 50)))
    data = root.find("s:path[@class='edging']", NS).get("d")  # type: ignore[union-attr]
    assert area_of(data or "") == 1000**2 * (224 * 174 - 200 * 150)


@pytest.mark.parametrize(
    ("lattice", "figures"),
    [
        ("three-way", {"12 columns: 457.3", "481.3", "5 cells: 220", "244", "44"}),
        ("three-way turned", {"6 cells: 264", "288", "10 rows: 381.1", "405.1", "44"}),
        ("square", {"12 columns: 528", "552", "10 rows: 440", "464", "44"}),
        ("diamond", {"12 cells: 914.5", "938.5", "10 cells: 440", "464", "76.2", "44"}),
    ],
)
def test_every_lattice_gets_the_dimensions_that_it_is_made_by(lattice, figures: set[str]) -> None:  # type: ignore[no-untyped-def]
    """12 by 10 of what a design counts. A diamond cell of side 44 at 60 degrees is 44*sqrt(3) by 44."""
    composed = real(lattice, 12, 10)
    assert set(texts(read(draw(composed)))) == figures | {"mm"}


@pytest.mark.parametrize("lattice", KINDS)
@pytest.mark.parametrize(("columns", "rows"), [(11, 10), (12, 9), (11, 9), (12, 10)])
def test_the_cells_side_is_measured_from_crossing_to_crossing(lattice, columns: int, rows: int) -> None:  # type: ignore[no-untyped-def]
    composed = real(lattice, columns, rows, edging="0")
    width, height = (1000 * size for size in (composed.fit.lattice_width_mm, composed.fit.lattice_height_mm))
    ends = np.array(strip_lines(composed)).reshape(-1, 2)
    sides = 0
    for dimension in dimensions_of(composed, 100.0, PLAIN)[2:]:
        edge = ends[:, 1][ends[:, 0] > width - 1] if dimension.upright else ends[:, 0][ends[:, 1] < 1]
        for end in (dimension.start, dimension.end):
            assert np.abs(edge - end).min() < 1
        assert dimension.outline == pytest.approx(width if dimension.upright else 0)
        assert abs(dimension.end - dimension.start) < min(width, height)
        sides += 1
    assert sides == (2 if lattice == "diamond" else 1)


@pytest.mark.parametrize("lattice", KINDS)
def test_three_thousand_cells_of_the_densest_pattern_are_small(lattice) -> None:  # type: ignore[no-untyped-def]
    """As pages are compressed when they are sent (level 6)."""
    sizes = {"three-way": (54, 55), "three-way turned": (55, 54), "square": (54, 55), "diamond": (38, 40)}
    text = draw(real(lattice, *sizes[lattice], side="60"))
    assert len(gzip.compress(text.encode(), 6)) <= 35_000
