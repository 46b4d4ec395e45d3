from dataclasses import replace
from xml.etree import ElementTree as ET

import pytest

from studio.drawing.drawing_sheet import drawing_sheet_svg
from studio.drawing.sheet import Pen
from studio.drawing.title_block import HEIGHT_MM, ROWS, WIDTH_MM, TitleBlock, title_block
from studio.lattice.design import LatticeKind
from tests.drawing.panels import COLOURS, KINDS, composed

NS = {"s": "http://www.w3.org/2000/svg"}
BLOCK = TitleBlock(
    studio="Harbour Lattice",
    client="Ms Adeyemi & partners",
    space="Reception",
    title="Backdrop",
    shows="Front elevation, option B",
    number="2026-014",
    issue="2",
    date="25 Nov 2026",
    sheet="1 of 3",
)


def texts(root: ET.Element) -> list[str]:
    return [item.text or "" for item in root.iterfind(".//s:g[@class='title-block']//s:text", NS)]


def drawn(block: TitleBlock) -> ET.Element:
    group = title_block(block, 0, 0, Pen(1000, 2.5))
    return ET.fromstring(f'<svg xmlns="http://www.w3.org/2000/svg">{group}</svg>')


def test_every_row_is_as_wide_as_the_block() -> None:
    """ISO 7200:2004: 180 mm."""
    assert [sum(width for _, width in row) for row in ROWS] == [WIDTH_MM] * 3
    assert (WIDTH_MM, HEIGHT_MM) == (180, 30)


def test_headings_and_entries_stand_in_their_fields() -> None:
    """180 by 30 mm to the left of and above the lower right corner, in rows of 10 mm: a heading in the upper
    half of its field, what is entered in the lower."""
    found = [
        (i.text, *(float(i.get(k, "")) / 10 for k in "xy")) for i in drawn(BLOCK).iterfind(".//s:text", NS)
    ]
    for number, row in enumerate(ROWS):
        for field, (name, _) in enumerate(row):
            left, top = sum(width for _, width in row[:field]) - 180, 10 * number - 30
            inside = [(text, y) for text, x, y in found if left < x < left + 2 and top < y < top + 10]
            entered = [getattr(BLOCK, name)] if getattr(BLOCK, name) else []
            assert [text for text, _ in inside] == [name.replace("_", " "), *entered]
            assert inside[0][1] < top + 5 < max(y for _, y in [*inside[1:], ("", top + 9)])


def test_every_field_is_headed_and_filled() -> None:
    found = texts(drawn(replace(BLOCK, scale="1:10")))
    for text in ("Ms Adeyemi & partners", "2026-014", "1:10", "1 of 3", "number", "sheet", "created by"):
        assert text in found


@pytest.mark.parametrize(
    "client", ["x" * 300, "Ö" * 40, "Ms <Adeyemi> & partners of the harbour quarter practice"]
)
def test_what_is_too_long_stays_in_its_field(client: str) -> None:
    """Half an em and a little for each letter, as the lettering of drawings is measured."""
    root = drawn(replace(BLOCK, client=client))
    (item,) = (i for i in root.iterfind(".//s:text", NS) if (i.text or "").startswith(client[:8]))
    width_mm = len(item.text or "") * 0.53 * float(item.get("font-size", "")) / 10
    assert width_mm <= 57.1
    assert float(item.get("font-size", "")) * 0.66 / 10 >= 1.49
    assert (item.text == client) or (item.text or "").endswith("…")


@pytest.mark.parametrize("lattice", KINDS)
@pytest.mark.parametrize(("columns", "rows"), [(24, 20), (4, 40), (60, 4)])
def test_a_sheet_of_a4_that_is_true_to_its_scale(lattice: LatticeKind, columns: int, rows: int) -> None:
    made = composed(lattice, columns, rows, border=False)
    root = ET.fromstring(drawing_sheet_svg(made, COLOURS, BLOCK, ident="s"))
    size = tuple(float(root.get(side, "").removesuffix("mm")) for side in ("width", "height"))
    assert sorted(size) == [210, 297]
    left, top, width, height = map(float, root.get("viewBox", "").split())
    real = width / 1000 / size[0]
    assert height / 1000 / size[1] == pytest.approx(real, rel=1e-4)
    stated = next(text for text in texts(root) if text.endswith("(A4)"))
    drawn_mm, real_mm = map(int, stated.removesuffix(" (A4)").split(":"))
    assert real == pytest.approx(real_mm / drawn_mm, rel=1e-4)
    panel_width = made.fit.width_mm / real
    assert panel_width < size[0] - 30
    assert left < -12_000 < 1000 * made.fit.lattice_width_mm + 12_000 < left + width
    assert top < -12_000 < 1000 * made.fit.lattice_height_mm + 12_000 < top + height - 30 * 1000 * real


def test_a_panel_of_1200_by_800_needs_1_to_10_with_dimensions_and_title_block() -> None:
    """ISO 5455: alone it would fit the field of A4 at 1:5 (240 by 160 on 277 by 190), not with its block."""
    made = composed("square", 24, 16, side="49")
    root = ET.fromstring(drawing_sheet_svg(made, COLOURS, BLOCK, ident="s"))
    assert "1:10 (A4)" in texts(root)
    assert root.findtext("s:desc", "", NS).endswith("Drawn at 1:10 on A4.")
