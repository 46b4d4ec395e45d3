"""WeasyPrint's image protocol is its own: these tests fail when a release changes it."""

import io
import re
import zlib
from html import escape
from itertools import count

import pytest
from pypdf import PdfReader
from weasyprint import HTML

from studio.drawing.scale import Scale
from studio.drawing.weasy import LatticeImage, PanelDrawing
from tests.drawing.panels import COLOURS, panel

STYLE = """@page { size: A4; margin: 18mm } .page { break-after: page } .drawing { position: relative }
img { display: block }
.figure { position: absolute; font-size: 3.8mm; text-align: center; white-space: nowrap }"""


def shown(key: str, image: LatticeImage) -> str:
    figures = "".join(
        f'<span class="figure" style="{f.style}">{escape(f.text)}</span>' for f in image.figures
    )
    return f'<div class="drawing"><img src="{key}" alt="The panel"/>{figures}</div>'


def document(*pages: str) -> str:
    body = "".join(f'<div class="page">{page}</div>' for page in pages)
    return f"<html lang='en'><title>Proposal</title><style>{STYLE}</style>{body}</html>"


def render(html: str, cache: dict[str, object]) -> PdfReader:
    return PdfReader(io.BytesIO(HTML(string=html).write_pdf(cache=cache)))


def forms(reader: PdfReader) -> set[int]:
    """Object numbers of the panels' forms that the pages refer to."""
    found = set()
    for page in reader.pages:
        for name, item in page["/Resources"].get("/XObject", {}).items():
            assert item.get_object()["/Subtype"] == "/Form", name
            found.add(item.indirect_reference.idnum)
    return found


def test_one_panel_shown_three_times_is_stored_once() -> None:
    drawing = PanelDrawing(panel("three-way", 31, 34, border=2), COLOURS)
    image = drawing.elevation((174, 120))
    cache: dict[str, object] = {
        "lattice:A": image,
        "lattice:A-detail": drawing.detail((60, 60)),
        "lattice:A-thumbnail": drawing.thumbnail(),
    }
    detail = '<img src="lattice:A-detail" alt="d"/><img src="lattice:A-thumbnail" alt="t"/>'
    reader = render(document(shown("lattice:A", image), detail, shown("lattice:A", image)), cache)
    assert len(reader.pages) == 3
    assert len(forms(reader)) == 1
    text = reader.pages[0].extract_text()
    for figure in ("31 columns: 1181.3", "1205.3", "17 cells: 748", "772", "44", "mm"):
        assert figure in text


def test_two_panels_are_two_forms() -> None:
    drawings = [PanelDrawing(panel("square", n, 3), COLOURS).thumbnail() for n in (3, 4)]
    cache: dict[str, object] = {
        f"lattice:{n}": drawing for n, drawing in zip(count(), drawings, strict=False)
    }
    assert len(forms(render(document(*(f'<img src="{key}" alt="x"/>' for key in cache)), cache))) == 2


def test_the_form_holds_the_panel() -> None:
    composed = panel("square", 6, 4, 50)
    reader = render(
        document('<img src="lattice:A" alt="x"/>'), {"lattice:A": PanelDrawing(composed, COLOURS).thumbnail()}
    )
    (form,) = (item.get_object() for item in reader.pages[0]["/Resources"]["/XObject"].values())
    assert list(form["/BBox"]) == [-13_000, -13_000, 313_000, 213_000]
    assert form.get_data().count(b" cm ") == 24


def test_a_panel_of_1200_mm_at_1_to_10_is_120_mm_on_paper() -> None:
    """1 mm is 72/25.4 points and a drawing unit a thousandth of a millimetre of the panel."""
    composed = panel("square", 24, 12, 49)
    assert composed.fit.width_mm == 1200
    image = PanelDrawing(composed, COLOURS).elevation((174, 120))
    assert image.scale == Scale(1, 10)
    width, height, ratio = image.get_intrinsic_size(1, 16)
    assert (width, height) == (
        pytest.approx(image.width_mm * 96 / 25.4),
        pytest.approx(image.height_mm * 96 / 25.4),
    )
    assert ratio == pytest.approx(width / height)
    reader = render(document(shown("lattice:A", image)), {"lattice:A": image})
    content = reader.pages[0].get_contents().get_data().decode("latin-1")
    (across,) = re.findall(r"([\d.]+) 0 0 [\d.]+ -?[\d.]+ -?[\d.]+ cm\s[^\n]* re\s+W", content)
    points_per_px = 0.75
    assert float(across) * points_per_px * 1_200_000 / 72 * 25.4 == pytest.approx(120, abs=0.001)


@pytest.mark.parametrize(
    "composed", [panel("three-way", 60, 3), panel("square", 1, 40), panel("square", 1, 1, 20)]
)
def test_the_scale_is_listed_and_the_drawing_fits_its_field(composed) -> None:  # type: ignore[no-untyped-def]
    image = PanelDrawing(composed, COLOURS).elevation((174, 120))
    assert image.width_mm <= 174
    assert image.height_mm <= 120
    larger = 2.5 if str(image.scale.real)[0] == "5" else 2
    margins = 40
    assert max(image.width_mm, image.height_mm) > 120 / larger - margins


def test_figures_stand_within_the_image() -> None:
    image = PanelDrawing(panel("three-way", 31, 34), COLOURS).elevation((174, 120))
    for figure in image.figures:
        left, top, width, height = (float(part) for part in re.findall(r":(-?[\d.]+)mm", figure.style))
        x, y = left + width / 2, top + height / 2
        assert 0 < x < image.width_mm
        assert 0 < y < image.height_mm
        assert ("rotate(-90deg)" in figure.style) == (figure.text in {"17 cells: 748", "772", "44"})


def test_a_field_without_room_for_figures_is_an_error() -> None:
    with pytest.raises(ValueError, match="20 by 20 mm"):
        PanelDrawing(panel(), COLOURS).elevation((20, 20))


def test_three_large_panels_make_a_small_document() -> None:
    drawings = [PanelDrawing(panel("three-way", 54, 55, border=n), COLOURS) for n in (1, 2, 3)]
    cache: dict[str, object] = {f"lattice:{n}": d.elevation((174, 120)) for n, d in enumerate(drawings)}
    images = "".join(f'<img src="{key}" alt="x"/>' for key in cache)
    pdf = HTML(string=document(images, images, *("text",) * 5)).write_pdf(cache=cache)
    assert len(pdf) < 94_000
    assert len(forms(PdfReader(io.BytesIO(pdf)))) == 3


def test_the_compressed_content_is_whole() -> None:
    stream = PanelDrawing(panel("square", 3, 3), COLOURS).thumbnail().get_x_object(False, 1)
    assert zlib.decompress(stream.stream[0]).rstrip().endswith(b"Q")
