"""The PDF by its content: pages, texts, tags, and the same figures as on the screen."""

import io
import json
import re
from dataclasses import replace
from pathlib import Path

import pytest
from pypdf import PdfReader

from studio.printed import OnlyFonts
from studio.proposals.pdf import render_pdf
from studio.proposals.shown import shown
from tests.estimate.said import ALWAYS, WALL
from tests.proposals.by_hand import HEADING, PARTIES, composition, frozen, option, sheet, two_taxes

pytestmark = pytest.mark.one_engine

NASTY = '<b>Büro & "Söhne"</b> {{ x }} <script>alert(1)</script> <img src="http://elsewhere.example/x.png">'


def rendered(letters="A", *, heading=HEADING, parties=PARTIES, annex=False, **more):
    options = tuple(option(letter, **more) for letter in letters)
    made = frozen(*options, heading=heading, parties=parties, annex=annex)
    return render_pdf(made, options), made


def read(pdf: bytes) -> PdfReader:
    return PdfReader(io.BytesIO(pdf))


def words(reader: PdfReader) -> str:
    return " ".join(" ".join(page.extract_text() for page in reader.pages).split())


@pytest.mark.parametrize(("letters", "pages"), [("A", 3), ("AB", 5), ("ABCD", 7)])
def test_cover_options_comparison_terms(letters, pages):
    reader = read(rendered(letters)[0])
    assert len(reader.pages) == pages
    assert ("Side by side" in words(reader)) == (len(letters) > 1)
    assert f"Page {pages} of {pages}" in reader.pages[-1].extract_text()
    for page in reader.pages:
        assert "Proposal 2026-0007, issue 1" in page.extract_text()


def test_what_the_cover_says():
    cover = " ".join(read(rendered()[0]).pages[0].extract_text().split())
    for text in (
        "Withy Lane Panels",
        "Hall screen",
        "Ms Adeyemi",
        "2026-0007",
        "2 March 2026",
        "1 April 2026",
    ):
        assert text in cover
    assert "Invented for a demonstration" in cover
    assert "scale 1:2" in cover
    assert "252.6" in cover


def test_no_figure_differs_from_the_screen():
    pdf, made = rendered("AB", kind="business")
    paper, screen = words(read(pdf)), shown(json.loads(made.figures))
    for found in screen.options:
        sums = (found.price, found.also, *found.lines, *found.totals, *found.deposits)
        for text in (*(s.amount for s in sums), found.ready, found.paragraph, found.size, found.mass):
            assert text in paper
        assert all(text in paper for text in found.included)
    on_paper = set(re.findall(r"£[\d,.]+\d", paper))
    assert on_paper == {s.amount for o in screen.options for s in (*o.lines, *o.totals, *o.deposits)} | {
        "£100.00"  # tax within each payment
    }


@pytest.mark.parametrize("price", [None, two_taxes()])
def test_a_clients_copy_shows_no_cost_and_no_margin(price):
    paper = words(read(rendered("AB", price=price, discount="an old friend")[0]))
    assert "£1,000.00" in paper
    for studios_own in ("margin", "Making", "650.00", "350.00", "700.00", "workings", "÷ 60", "example rate"):
        assert studios_own.lower() not in paper.lower()


def test_the_annex_when_it_was_chosen():
    reader = read(rendered("AB", annex=True)[0])
    assert len(reader.pages) == 7
    paper = " ".join(reader.pages[-1].extract_text().split())
    for text in (
        "Annex: workings of option B",
        "Making minutes ÷ 60 × rate: rate 30.00 an hour (example rate) 1 each × 650.00 £650.00",
        "Margin left",
        "£350.00",
    ):
        assert text in paper


def test_payments_with_several_taxes_and_when_tax_is_due():
    paper = words(read(rendered(price=two_taxes(), tax_point=True)[0]))
    for text in ("20 % tax £90.00", "5 % tax £2.50", "tax £92.50", "VAT, 20 % of £900.00"):
        assert text in paper.replace("\u00a0", " ")
    assert "Tax is due on each payment when it is received" in paper
    assert "Local tax rules decide" in paper


def test_every_caution_is_there_in_the_size_of_the_text():
    pdf = rendered()[0]
    paper = words(read(pdf))
    for caution in (WALL, *ALWAYS):
        assert caution in paper
    sizes: dict[str, set[float]] = {}

    def note(text, _cm, _tm, font, size):
        for key in ("no load", "Prices hold"):
            if key in text:
                sizes.setdefault(key, set()).add(size)

    read(pdf).pages[-1].extract_text(visitor_text=note)
    assert len(sizes) == 2
    assert sizes["no load"] == sizes["Prices hold"]


def test_names_with_markup_show_as_text_and_load_nothing():
    parties = {**PARTIES, "title": NASTY, "client": {**PARTIES["client"], "name": NASTY}}
    paper = words(read(rendered(parties=parties)[0]))
    assert '<b>Büro & "Söhne"</b> {{ x }} <script>alert(1)</script>' in paper


@pytest.mark.parametrize("name", ["W" * 200, "long " * 40, "Зоя \u200fשרה\u200f أمل", "🙂" * 10])
def test_strange_and_long_names_break_no_page(name):
    parties = {**PARTIES, "title": name, "space": name, "client": {**PARTIES["client"], "name": name}}
    reader = read(rendered(parties=parties)[0])
    assert len(reader.pages) in (3, 4)
    assert "Page 1 of" in reader.pages[0].extract_text()


def test_emoji_are_spelled_out_since_few_fonts_draw_them():
    parties = {**PARTIES, "title": "Zoë 🙂🏳️‍🌈"}
    paper = words(read(rendered(parties=parties)[0]))
    assert "Zoë [slightly smiling face][waving white flag][rainbow]" in paper


@pytest.mark.parametrize(("paper", "size"), [("A4", (595, 842)), ("letter", (612, 792))])
def test_paper(paper, size):
    reader = read(rendered("AB", heading=replace(HEADING, paper=paper))[0])
    assert {tuple(map(round, page.mediabox[2:])) for page in reader.pages} == {size}
    assert len(reader.pages) == 5


def test_title_language_and_tags():
    reader = read(rendered()[0])
    root = reader.trailer["/Root"]
    assert reader.metadata.title == "Proposal 2026-0007, issue 1"
    assert root["/Lang"] == "en-GB"
    assert root["/MarkInfo"]["/Marked"]
    assert b"pdfuaid" in root["/Metadata"].get_object().get_data()


def test_fonts_are_the_sites_own_and_embedded():
    reader = read(rendered()[0])
    names = {
        font.get_object()["/BaseFont"].split("+")[1]
        for page in reader.pages
        for font in page["/Resources"]["/Font"].values()
    }
    assert names <= {
        "Source-Serif-Pro",
        "Source-Serif-Pro-Semi-Bold",
        "Source-Sans-Pro",
        "Source-Sans-Pro-Semi-Bold",
    }


def test_the_same_documents_give_the_same_bytes():
    assert rendered()[0] == rendered()[0]


def test_3000_cells_get_a_detail_and_stay_small():
    pdf, _ = rendered(composed=composition(54, 55))
    assert "Upper left corner, scale" in read(pdf).pages[1].extract_text()
    assert len(read(pdf).pages) == 3
    assert len(pdf) < 120_000


def test_imperial_sizes_and_a_currency_without_decimals():
    heading = replace(HEADING, units="imperial", locale="en_US")
    paper = words(read(rendered(heading=heading, price=sheet("150000", "15000", currency="JPY"))[0]))
    assert '9 15/16"' in paper
    assert "¥165,000 " in paper


@pytest.mark.parametrize(
    "url", ["http://elsewhere.example/", Path("/etc/hostname").as_uri(), "font:../x", "data:,x"]
)
def test_nothing_but_fonts_is_loaded(url):
    with pytest.raises(ValueError, match="nothing but its fonts"):
        OnlyFonts().fetch(url)


def test_a_font_is_loaded():
    assert OnlyFonts().fetch("font:SourceSansPro-Regular.ttf").read()[:4] == b"\x00\x01\x00\x00"
