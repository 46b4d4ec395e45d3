"""A lattice that the program does not have, made up for tests (cells two sides wide and one high), through
the whole line: nothing but its own file knows it, and every figure is recounted by hand.

An opening of 1194 by 750 mm with gaps of 5 mm and an edging of 12 mm leaves 1160 by 716 mm, in which cells of
44 mm are 13 columns of 88 mm and 16 courses of 44 mm: 1144 by 704 mm."""

from dataclasses import replace
from decimal import Decimal

import pytest
import shapely

from studio.commissions.words import spoken_paragraph
from studio.document import dump, parse
from studio.drawing.elevation import elevation_svg
from studio.drawing.pdf_content import panel_content
from studio.drawing.section_plan import section_plan_svg
from studio.drawing.strips import lattice_strips, strip_lines
from studio.drawing.swatch import swatch_svg
from studio.estimate.estimate import estimate
from studio.estimate.example import example_question
from studio.estimate.fit_table import fit_table
from studio.lattice.composition import compose
from studio.lattice.design import Design
from studio.lattice.fit import best_fit
from studio.lattice.infill_parts import infill_parts
from studio.lattice.kinds import KINDS
from studio.lattice.own_pattern import read_pattern
from studio.lattice.refit import in_lattice
from studio.lattice.verdict import verdict
from studio.money import round_money
from studio.problem import Refused
from tests.lattice.domino import DOMINO

QUESTION = example_question()
BOOK = QUESTION.rate_book
COLOURS = {filament.name: filament.colour for filament in BOOK.filaments}
COLUMNS, COURSES, SIDE, STRIP, PLAY, BAR = 13, 16, 44, 3.2, 0.15, 2
CELLS, AREA = COLUMNS * COURSES, 1144 * 704
OPENING = (2 * SIDE - STRIP) * (SIDE - STRIP)
CROSS = {"pattern": "lying-cross", "filament": "Tea"}
STROKE = {"pattern": "lying-stroke", "filament": "Indigo"}
ARRANGEMENTS = {
    "all over": {"infill": CROSS},
    "bands": {"direction": "level", "bands": [{"infill": each, "cells": 2} for each in (CROSS, STROKE)]},
    "border and field": {"border": STROKE, "field": CROSS},
    "rings": {"rings": [{"infill": each, "cells": 2} for each in (CROSS, STROKE)]},
    "drift": {"first": CROSS, "second": STROKE},
    "rosettes": {"rosette": STROKE, "field": CROSS},
    "alternating": {"first": CROSS, "second": STROKE},
}  # fmt: skip


@pytest.fixture(autouse=True)
def _known(monkeypatch):
    monkeypatch.setitem(KINDS, DOMINO.name, DOMINO)


def design(kind="alternating", **changes):
    """As a document that is read, so that the lattice's name is checked as any other."""
    arrangement = {"kind": kind, **ARRANGEMENTS[kind]}
    wanted = {"lattice": "domino", "side_play_percent": "0", "arrangement": arrangement}
    return parse(Design, {**dump(QUESTION.brief.design), **wanted, **changes})


@pytest.fixture
def found():
    """On small beds alone, so that there is one way to divide it."""
    book = replace(BOOK, printers=BOOK.printers[:1])
    return estimate(replace(QUESTION.brief, design=design()), book, QUESTION.shop_state, QUESTION.as_of)


def lines(found):
    return {line.code: line for line in found.price.lines}


def test_size_and_cells(found):
    fit = found.bill.fit
    assert (fit.columns, fit.rows, fit.lattice_width_mm, fit.lattice_height_mm) == (13, 16, 1144, 704)
    assert (fit.width_mm, fit.height_mm, fit.left_over_mm, fit.symmetry) == (1168, 728, (16, 12), "both")
    assert found.bill.cells == (CELLS, 0, 0)
    assert found.composition.cell_area_mm2[0] * CELLS == pytest.approx(AREA)
    assert [opening.area for opening in found.composition.openings.values()] == pytest.approx([OPENING] * 2)


def test_pieces(found):
    """Half of the cells have a cross, two bars that reach from side to side; half a bar from corner to
    corner, which is its own mirror image in no turn, and all of those face one way. Wedges are filled with
    the nozzle's radius of 0.2 mm, which adds less than 0.04 mm² in each of four corners."""
    cross, stroke = found.bill.infills
    assert (cross.count, stroke.count, stroke.size) == (CELLS / 2, CELLS / 2, "whole, mirrored")
    wide, high = 2 * SIDE - STRIP - 2 * PLAY, SIDE - STRIP - 2 * PLAY
    assert cross.face.area_mm2 == pytest.approx(BAR * (wide + high - BAR) + 0.04, abs=0.04)
    assert {cross.nests, stroke.nests} == {"box"}
    strokes = design("all over", arrangement={"kind": "all over", "infill": STROKE})
    parts = infill_parts(compose(strokes, found.bill.fit), 2.0)
    assert {part.size: part.count for part in parts} == dict.fromkeys(("whole", "whole, mirrored"), CELLS / 2)


def test_sections_and_seams(found):
    """Small beds take two columns (176 mm) and four courses: 7 by 4 sections, whose areas are those of their
    cells less the openings. Seams run straight: 6 of 704 mm and 3 of 1144 mm, two joints for each section's.
    Upright ones have three crossings, two with a key, level ones one, and none in the last, single column."""
    bill = found.bill
    assert (len(bill.sections), sum(section.cells for section in bill.sections)) == (28, CELLS)
    assert sum(seam.length_mm for seam in bill.seams) == pytest.approx(6 * 704 + 3 * 1144)
    assert (len(bill.seams), sum(seam.joints for seam in bill.seams)) == (6 * 4 + 7 * 3, 90)
    assert sum(seam.keys for seam in bill.seams) == 6 * 4 * 2 + 6 * 3
    printed = sum(part.count * part.face.area_mm2 for part in bill.parts if part.code == "section")
    assert printed == pytest.approx(AREA - CELLS * OPENING)
    rails = sum(part.count * part.face.width_mm for part in bill.parts if part.code == "rail")
    assert rails == pytest.approx(2 * (1144 + 704), abs=0.1)  # to a hundredth each


def test_the_price_adds_up(found):
    """Labour by the example rates: a minute's share of the maker's hour for each infill, section and key."""
    price = found.price
    assert price.net == sum(line.amount for line in price.lines)
    assert price.gross == price.net * Decimal("1.2")
    told, maker = lines(found), example_question().rate_book.roles["maker"]
    amounts = {code: line.amount for code, line in told.items()}
    for code, minutes in (("place-infill", "31.2"), ("clean-section", "84"), ("seam", "63")):
        # 208 × 0.15, 28 × 3 and 90 × 0.7 minutes
        assert amounts[f"labour.{code}"] == round_money(Decimal(minutes) / 60 * maker, "GBP")
    assert amounts["bought.sheet"] == Decimal("13.09")  # 1.168 × 0.728 × 1.1 × 14
    assert sum(share.count for plate in found.plan.plates for share in plate.parts) == sum(
        part.count + part.spares for part in found.bill.parts
    )


@pytest.mark.parametrize("kind", ARRANGEMENTS)
def test_every_arrangement(kind):
    wanted = design(kind)
    composed = compose(wanted, best_fit(wanted, QUESTION.brief.space))
    assert (composed.piece >= 0).all()
    assert set(composed.filaments) == ({"Tea"} if kind == "all over" else {"Tea", "Indigo"})


def test_drawings(found):
    """Strips along 14 uprights and 17 levels leave the openings free; both sides of a cell are given."""
    composed = found.composition
    assert len(strip_lines(composed)) == 14 + 17
    assert shapely.union_all(lattice_strips(composed)).area == pytest.approx(AREA - CELLS * OPENING)
    svg = elevation_svg(composed, COLOURS, title="Domino", ident="d")
    assert "A domino lattice panel seen from the front" in svg
    assert all(f">{figure}</text>" in svg for figure in ("13 columns: 1144", "16 rows: 704", "88", "44"))
    assert panel_content(composed, COLOURS)
    assert "28 sections in 1 module" in section_plan_svg(composed, found.bill.sections, title="S", ident="s")
    for slug in DOMINO.usual:
        assert "<path" in swatch_svg(slug, "domino", "#aa8855", title="Swatch", ident="w")


def test_beside_the_others(found):
    """A fifth group in the table of fits; an option of another lattice is carried over to its usual two."""
    table = fit_table(QUESTION.brief, BOOK, QUESTION.shop_state)
    own = [row for row in table.rows if row.fit.lattice == "domino"]
    assert {row.fit.lattice for row in table.rows} == set(KINDS)
    assert own[0].given_up == ("lying cross and lying stroke instead of hemp leaf and basket weave",)
    back, given_up = in_lattice(design(), "square")
    assert given_up == ("square hemp leaf and well crib instead of lying cross and lying stroke",)
    assert best_fit(back, QUESTION.brief.space).lattice == "square"


def test_words(found):
    said = spoken_paragraph(found.brief, found.bill.fit)
    assert "A domino lattice of 44 mm cells, two sides wide, for an opening" in said
    assert "lying cross in tea and lying stroke in indigo by turns" in said.lower()


def test_a_pattern_of_ones_own():
    bars = [{"kind": "line", "points": [[-1, at], [1, at]]} for at in (-0.2, 0.2)]
    ties = [{"kind": "line", "points": [[0, -0.5], [0, 0.5]]}]
    own = read_pattern({"slug": "rungs", "name": "Rungs", "lattice": "domino", "whole": bars + ties})
    assert verdict(own, STRIP, BAR, PLAY).printable


def test_unknown_until_it_is_there(monkeypatch):
    known = "'three-way', 'three-way turned', 'square', 'diamond'"
    with pytest.raises(Refused) as refused:
        design(lattice="dominos")
    assert refused.value.problems[0].remedy == f"give {known} or 'domino'"
    monkeypatch.delitem(KINDS, "domino")
    with pytest.raises(Refused) as refused:
        design()
    assert refused.value.problems[0].reason == "found “domino”"
    assert refused.value.problems[0].remedy == "give 'three-way', 'three-way turned', 'square' or 'diamond'"
