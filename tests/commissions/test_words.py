"""A design read aloud."""

import re
from dataclasses import replace
from decimal import Decimal
from html import escape

import pytest

from studio.commissions.answer import answer_of
from studio.commissions.difference import difference
from studio.commissions.words import colour_word, spoken_paragraph
from studio.drawing.elevation import elevation_svg
from studio.drawing.figures import Units, figure
from studio.estimate.brief import Brief
from studio.estimate.estimate import estimate
from studio.estimate.example import example_question
from studio.lattice.design import AllOver, Band, Bands, Design, Infill
from studio.lattice.fit import best_fit
from studio.workshop.house_style import HouseStyle

TEA = Infill(pattern="hemp-leaf", filament="Tea")
INDIGO = Infill(pattern="basket-weave", filament="Indigo")


def paragraph(brief: Brief, units: str = "metric") -> str:
    return spoken_paragraph(brief, best_fit(brief.design, brief.space), units)  # type: ignore[arg-type]


def changed(**design: object) -> Brief:
    brief = example_question().brief
    return replace(brief, design=replace(brief.design, **design))  # type: ignore[arg-type]


def test_reads_like_speech() -> None:
    text = paragraph(example_question().brief)
    assert "for an opening 1194 mm wide and 750 mm high, as large as fits." in text
    assert "Hemp leaf in tea all over, with a two-cell border of basket weave in indigo." in text
    assert text.endswith("12 mm deep, on a backing sheet, delivered and hung.")


def test_says_about_for_an_unmeasured_space() -> None:
    brief = example_question().brief
    said = replace(brief.space, widths_mm=(Decimal(1200),), heights_mm=(Decimal(750),), measured=False)
    assert "an opening about 1200 mm wide" in paragraph(replace(brief, space=said))
    several = replace(brief.space, measured=False)
    assert "an opening 1194 mm wide" in paragraph(replace(brief, space=several))


def test_bands() -> None:
    bands = Bands(bands=(Band(infill=TEA, cells=3), Band(infill=INDIGO, cells=12)))
    text = paragraph(changed(arrangement=bands))
    assert "Upright bands in turn, three of hemp leaf in tea and 12 of basket weave in indigo." in text


def test_imperial() -> None:
    assert 'an opening 47" wide' in paragraph(example_question().brief, "imperial")


@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_fit_drawing_paragraph_and_proposal_say_the_same_size(units: Units) -> None:
    question = example_question()
    found = estimate(question.brief, question.rate_book, question.shop_state, question.as_of)
    width, height = (figure(size, units) for size in (found.bill.fit.width_mm, found.bill.fit.height_mm))
    unit = " mm" if units == "metric" else ""
    style = HouseStyle("en_GB", "GBP")
    assert answer_of(found, style, units).fit[1] == f"{width}{unit} × {height}{unit} over all"
    assert f"itself is {width}{unit} × {height}{unit}." in spoken_paragraph(
        found.brief, found.bill.fit, units
    )
    colours = {filament.name: filament.colour for filament in question.rate_book.filaments}
    drawing = elevation_svg(found.composition, colours, title="A", units=units, ident="a")
    assert {f">{escape(width)}<", f">{escape(height)}<"} <= set(re.findall(">[^<>]+<", drawing))


def test_colours_keep_their_own_capitals() -> None:
    assert colour_word("Tea") == "tea"
    assert colour_word("RAL 5011") == "RAL 5011"


def design(**values: object) -> Design:
    return changed(**values).design


@pytest.mark.parametrize(
    ("values", "word"),
    [
        ({}, ""),
        ({"lattice": "square"}, "square"),
        ({"arrangement": AllOver(infill=TEA)}, "all over"),
        ({"cell_side_mm": Decimal("60.00")}, "60 mm cells"),
        ({"lit": True}, "lit"),
        ({"lattice_filament": "Chalk"}, "chalk lattice"),
        ({"clearance_mm": Decimal("0.2")}, "in detail"),
    ],
)
def test_difference(values: dict[str, object], word: str) -> None:
    assert difference(design(**values), design()) == word


def test_difference_in_the_studios_units() -> None:
    assert difference(design(cell_side_mm=Decimal("44.45")), design(), "imperial") == '1 3/4" cells'
