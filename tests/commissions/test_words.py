"""A design read aloud."""

import re
from dataclasses import replace
from decimal import Decimal
from html import escape

import pytest

from studio.commissions.call.outcome import Outcome
from studio.commissions.difference import difference
from studio.commissions.words import colour_word, spoken_paragraph
from studio.drawing.elevation import elevation_svg
from studio.estimate.brief import Brief
from studio.estimate.estimate import estimate
from studio.estimate.example import example_question
from studio.lattice.design import (
    AllOver,
    Alternating,
    Arrangement,
    Band,
    Bands,
    Design,
    Drift,
    Infill,
    LatticeKind,
    Rings,
    Rosettes,
    TouchUp,
)
from studio.lattice.fit import best_fit
from studio.lattice.patterns import pattern, usual_patterns
from studio.voice import PLAIN, Voice
from tests.estimate.said import SAID

INCHES = Voice(units="imperial")
TEA = Infill(pattern="hemp-leaf", filament="Tea")
INDIGO = Infill(pattern="basket-weave", filament="Indigo")


def paragraph(brief: Brief, voice: Voice = PLAIN) -> str:
    return spoken_paragraph(brief, best_fit(brief.design, brief.space), voice)


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
    said = replace(brief.space, widths_mm=(Decimal(1200),), heights_mm=(Decimal(750),), **SAID)
    assert "an opening about 1200 mm wide and 750 mm high" in paragraph(replace(brief, space=said))
    wide, high = replace(said, height_origin="taped by us"), replace(said, width_origin="taped by us")
    assert "an opening 750 mm high and about 1200 mm wide" in paragraph(replace(brief, space=wide))
    assert "an opening 1200 mm wide and about 750 mm high" in paragraph(replace(brief, space=high))
    several = replace(brief.space, **SAID)
    assert "an opening 1194 mm wide" in paragraph(replace(brief, space=several))


def test_bands() -> None:
    bands = Bands(bands=(Band(infill=TEA, cells=3), Band(infill=INDIGO, cells=12)))
    text = paragraph(changed(arrangement=bands))
    assert (
        "Upright bands in turn, three columns of hemp leaf in tea and 12 of basket weave in indigo." in text
    )
    level = replace(bands, direction="level", bands=(Band(infill=TEA, cells=1), *bands.bands[1:]))
    assert "Level bands in turn, one row of hemp leaf in tea and 12 of" in paragraph(
        changed(arrangement=level)
    )


def test_lattices() -> None:
    level = paragraph(changed(lattice="three-way turned"))
    assert level.startswith("A turned three-way lattice of 43.5 mm cells, with level strips, for an opening")
    pointed = changed(
        lattice="diamond", angle_deg=Decimal("60.0"), arrangement=AllOver(infill=only("diamond"))
    )
    assert re.match(r"A diamond lattice of 60° cells, [\d.]+ mm a side, for an opening", paragraph(pointed))


def only(lattice: LatticeKind) -> Infill:
    return Infill(pattern=usual_patterns(lattice)[0], filament="Tea")


RINGS = (Band(infill=TEA, cells=2), Band(infill=INDIGO, cells=1))


@pytest.mark.parametrize(
    ("arrangement", "said"),
    [
        (
            Rings(rings=RINGS),
            "In rings round the middle, two cells of hemp leaf in tea and one of basket weave in indigo.",
        ),
        (
            Rings(rings=RINGS[1:], across_percent=Decimal("30.0"), up_percent=Decimal("62.5")),
            "In rings round a point 30 % across and 62.5 % up, one cell of basket weave in indigo.",
        ),
        (
            Drift(first=TEA, second=INDIGO, direction="upwards"),
            "Hemp leaf in tea drifting upwards into basket weave in indigo.",
        ),
        (
            Rosettes(rosette=INDIGO, field=TEA, apart=3),
            "Rosettes of basket weave in indigo every three cells, hemp leaf in tea around them.",
        ),
        (Alternating(first=TEA, second=INDIGO), "Hemp leaf in tea and basket weave in indigo by turns."),
    ],
)
def test_arrangements(arrangement: Arrangement, said: str) -> None:
    assert said in paragraph(changed(arrangement=arrangement))


def test_cells_by_hand_are_counted_once_and_only_on_the_panel() -> None:
    here, there = (TouchUp(column=column, row=4, infill=INDIGO) for column in (3, 999))
    everywhere = AllOver(infill=TEA)
    one = changed(arrangement=everywhere, touch_ups=(here, here, there), columns=10, rows=20)
    assert "Hemp leaf in tea all over, with one cell changed by hand." in paragraph(one)
    two = replace(one, design=replace(one.design, touch_ups=(here, replace(here, row=5))))
    assert "all over, with two cells changed by hand." in paragraph(two)
    mirrored = replace(two, design=replace(two.design, mirror_touch_ups=True))
    assert "with two cells changed by hand and mirrored." in paragraph(mirrored)
    turned_only = replace(mirrored, design=replace(mirrored.design, columns=9, rows=19))
    assert "with two cells changed by hand and again after half a turn." in paragraph(turned_only)
    gone = replace(one, design=replace(one.design, touch_ups=(there,)))
    assert "Hemp leaf in tea all over. " in paragraph(gone)


def test_the_studios_own_pattern_has_its_own_name() -> None:
    own = replace(pattern("hemp-leaf", "three-way"), slug="our-star", name="Star of Ness", revision=1)
    star = AllOver(infill=Infill(pattern="our-star", filament="Tea"))
    assert "Star of Ness in tea all over." in paragraph(changed(arrangement=star, own_patterns=(own,)))


def test_imperial() -> None:
    assert 'an opening 47" wide' in paragraph(example_question().brief, INCHES)


@pytest.mark.parametrize("voice", [PLAIN, INCHES])
def test_fit_drawing_paragraph_and_proposal_say_the_same_size(voice: Voice) -> None:
    question = example_question()
    found = estimate(question.brief, question.rate_book, question.shop_state, question.as_of)
    width, height = (voice.figure(size) for size in (found.bill.fit.width_mm, found.bill.fit.height_mm))
    unit = " mm" if voice.units == "metric" else ""
    answer = Outcome(found, question.rate_book, voice)
    assert answer.fit[1] == f"{width}{unit} × {height}{unit} over all"
    assert f"itself is {width}{unit} × {height}{unit}." in spoken_paragraph(
        found.brief, found.bill.fit, voice
    )
    colours = {filament.name: filament.colour for filament in question.rate_book.filaments}
    drawing = elevation_svg(found.composition, colours, title="A", voice=voice, ident="a")
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
        ({"lattice": "three-way turned"}, "turned three-way"),
        ({"arrangement": Rings(rings=RINGS)}, "ringed"),
        ({"arrangement": Alternating(first=TEA, second=INDIGO)}, "by turns"),
        ({"touch_ups": (TouchUp(column=1, row=1, infill=TEA),)}, "cells by hand"),
        ({"lit": True}, "lit"),
        ({"lattice_filament": "Chalk"}, "chalk lattice"),
        ({"clearance_mm": Decimal("0.2")}, "in detail"),
    ],
)
def test_difference(values: dict[str, object], word: str) -> None:
    assert difference(design(**values), design()) == word


def test_difference_in_the_studios_units() -> None:
    assert difference(design(cell_side_mm=Decimal("44.45")), design(), INCHES) == '1 3/4" cells'
