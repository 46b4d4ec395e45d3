"""What a workshop is given: every piece in its place, and sums that are those of the bill and the price."""

import json
import zlib
from collections import Counter
from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest
import shapely
from shapely import Polygon
from shapely.affinity import rotate, translate

from studio.document import canonical
from studio.estimate.estimate import estimate
from studio.estimate.example import example_question
from studio.estimate.making_report import making_report
from studio.lattice.design import AllOver, Infill, Space, TouchUp
from studio.lattice.kinds import kinds
from studio.pricing.labour import STAGES, stage_minutes
from studio.pricing.quantities import count
from studio.pricing.terms import Terms
from tests.lattice.cast import OPEN, PATTERN

QUESTION = example_question()
BOOK = QUESTION.rate_book
HUNG = Terms(client_kind="business", delivery="delivered and hung", distance_km=Decimal(20))
HUNDREDTH_MM = 0.005
"""What rounding a coordinate to 0.01 may move it."""


def made(lattice, *, open_cell=False, terms=HUNG, **design):
    infill = Infill(pattern=PATTERN[lattice], filament="Tea")
    touches = (TouchUp(column=2, row=2, infill=OPEN),) if open_cell else ()
    brief = replace(
        QUESTION.brief,
        space=Space(widths_mm=(Decimal(760),), heights_mm=(Decimal(560),)),
        design=replace(
            QUESTION.brief.design,
            lattice=lattice,
            arrangement=AllOver(infill=infill),
            touch_ups=touches,
            **design,
        ),
        terms=terms,
    )
    return estimate(brief, BOOK, QUESTION.shop_state, date(2026, 3, 2))


@pytest.fixture(scope="module", params=[kind.name for kind in kinds()])
def both(request):
    found = made(request.param, open_cell=True)
    return found, json.loads(canonical(making_report(found, BOOK)))


def polygon(rings):
    return Polygon(rings[0], rings[1:])


def rounding_mm2(shape):
    return HUNDREDTH_MM * 2 * shape.length


def test_every_piece_and_spare_lies_on_a_plate(both):
    found, report = both
    placed = Counter()
    for plate, planned in zip(report["plates"], found.plan.plates, strict=True):
        on_plate = {item["part"]: len(item["places"]) for item in plate["parts"]}
        assert on_plate == {item.part: item.count for item in planned.parts}
        assert sum(on_plate.values()) == plate["pieces"]
        assert {report["parts"][part]["filament"] for part in on_plate} == {plate["filament"]}
        placed.update(on_plate)
    assert [placed[index] for index in range(len(report["parts"]))] == [
        part.count + part.spares for part in found.bill.parts
    ]
    assert sum(plate["minutes"] for plate in report["plates"]) == pytest.approx(
        found.plan.print_minutes, abs=0.01
    )


def test_pieces_lie_on_the_bed_and_apart(both):
    report = both[1]
    beds = {bed["printer"]: (bed["width_mm"], bed["depth_mm"]) for bed in report["beds"]}
    for plate in {json.dumps(plate["parts"]): plate for plate in report["plates"]}.values():
        width, depth = beds[plate["printer"]]
        bed = shapely.box(0, 0, width, depth).buffer(2 * HUNDREDTH_MM)
        lying = [
            shape for item in plate["parts"] for shape in on_the_bed(report["parts"][item["part"]], item)
        ]
        assert all(bed.contains(shape) for shape in lying)
        assert shapely.union_all(lying).area == pytest.approx(sum(shape.area for shape in lying), rel=1e-9)


def on_the_bed(part, item):
    shape = Polygon(part["rings"][0]["points"])
    for x_mm, y_mm, degrees in item["places"]:
        turned = rotate(shape, degrees, origin=(0, 0))
        left, low = turned.bounds[:2]
        yield translate(turned, x_mm - left, y_mm - low)


def test_every_cell_has_its_piece_within_its_opening_in_a_section(both):
    found, report = both
    cells, parts = report["cells"], report["parts"]
    n = len(found.composition.x)
    assert {len(values) for values in cells.values()} == {n}
    assert len(set(zip(cells["column"], cells["row"], strict=True))) == n
    filled = Counter(part for part in cells["part"] if part is not None)
    assert filled == {i: part["count"] for i, part in enumerate(parts) if part["code"] == "infill"}
    assert n - filled.total() == found.bill.open_cells == cells["piece"].count(None) == 1
    sections = [Polygon(section["outline"]).buffer(1) for section in report["sections"]]
    for x_mm, y_mm, opening, section, piece in zip(
        *(cells[name] for name in ("x_mm", "y_mm", "opening", "section", "piece")), strict=True
    ):
        clear = polygon(report["openings"][opening]["rings"])
        assert sections[section].contains(translate(clear, x_mm, y_mm))
        if piece is not None:
            assert clear.contains(polygon(report["pieces"][piece]["rings"]))


def test_outlines_are_those_of_the_pieces_and_sections_make_up_the_lattice(both):
    found, report = both
    for told, piece in zip(report["pieces"], found.composition.pieces, strict=True):
        assert polygon(told["rings"]).area == pytest.approx(
            piece.outline.area, abs=rounding_mm2(piece.outline)
        )
    cells = report["cells"]
    for piece, part in set(zip(cells["piece"], cells["part"], strict=True)) - {(None, None)}:
        outline = polygon(report["pieces"][piece]["rings"])
        assert report["parts"][part]["area_mm2"] == pytest.approx(outline.area, abs=rounding_mm2(outline))
    outlines = [Polygon(section["outline"]) for section in report["sections"]]
    fit = found.bill.fit
    assert sum(outline.area for outline in outlines) == pytest.approx(
        fit.lattice_width_mm * fit.lattice_height_mm, rel=1e-4
    )
    assert shapely.union_all([each.buffer(-0.02) for each in outlines]).area == pytest.approx(
        sum(each.buffer(-0.02).area for each in outlines)
    )


def test_sections_are_the_parts_that_are_printed(both):
    report = both[1]
    alike = Counter(section["part"] for section in report["sections"])
    printed = {i: part for i, part in enumerate(report["parts"]) if part["code"] == "section"}
    assert alike == {i: part["count"] for i, part in printed.items()}
    clear = [polygon(opening["rings"]).area for opening in report["openings"]]
    for index, section in enumerate(report["sections"]):
        own = [
            o
            for o, s in zip(report["cells"]["opening"], report["cells"]["section"], strict=True)
            if s == index
        ]
        left = Polygon(section["outline"]).area - sum(clear[opening] for opening in own)
        assert printed[section["part"]]["area_mm2"] == pytest.approx(left, rel=1e-3)
    members = [s for module in report["modules"] for s in module["sections"]]
    assert sorted(members) == list(range(len(report["sections"])))


def test_minutes_add_up_to_the_labour_of_the_price(both):
    found, report = both
    counted = count(found.bill, found.plan, found.brief.design, found.brief.terms)
    by_stage = {stage: Decimal(0) for stage in STAGES}
    for row in report["labour"]:
        by_stage[row["stage"]] += Decimal(row["minutes"])
    assert by_stage == stage_minutes(counted, BOOK)
    assert sum(by_stage.values()) == found.price.labour_minutes
    assert {row["role"] for row in report["labour"]} <= set(BOOK.roles)


def test_grams_and_printers_minutes_are_those_of_the_plan(both):
    found, report = both
    assert {row["filament"]: row["mass_g"] for row in report["filaments"]} == {
        use.filament: round(use.mass_g, 2) for use in found.plan.filaments
    }
    for row in report["filaments"]:
        parts = sum(row[name] for name in ("panel_g", "spares_g", "reprints_g", "starts_g", "purge_g"))
        assert row["mass_g"] == pytest.approx(parts, abs=0.005)
        plates = sum(plate["mass_g"] for plate in report["plates"] if plate["filament"] == row["filament"])
        assert row["panel_g"] + row["spares_g"] == pytest.approx(plates, abs=0.01 * len(report["plates"]))
    minutes = dict.fromkeys(("print_minutes", "reprint_minutes", "change_minutes"), 0.0)
    for row in report["printer_minutes"]:
        for name in minutes:
            minutes[name] += row[name]
    plan = found.plan
    wanted = plan.print_minutes, plan.reprint_minutes, plan.change_minutes
    assert list(minutes.values()) == pytest.approx(wanted, abs=0.01)


def test_the_van_is_out_on_the_days_on_site():
    """Two people hang it within a day of theirs; nobody goes out with a panel that is fetched."""
    assert made("square").dates.site_days == 1
    fetched = Terms(client_kind="business", delivery="collected")
    assert made("square", terms=fetched).dates.site_days == 0


def test_no_money_is_in_it(both):
    found, report = both
    assert {line["code"] for line in report["bought"]} == {
        line.code for line in found.price.lines if line.group == "bought-in"
    }
    assert all(line.keys() == {"code", "text", "unit", "quantity"} for line in report["bought"])
    assert not {"price", "amount", "cost", "rate", "purchase"} & set(words_of(report))


def words_of(value):
    if isinstance(value, dict):
        for key in value:
            yield from key.split("_")
    for part in value.values() if isinstance(value, dict) else value if isinstance(value, list) else ():
        yield from words_of(part)


def test_three_thousand_cells_stay_small():
    """13 kB once packed, when this was written, beside drawings of several times that."""
    brief = replace(QUESTION.brief, space=Space(widths_mm=(Decimal(1800),), heights_mm=(Decimal(1600),)))
    found = estimate(brief, BOOK, QUESTION.shop_state, date(2026, 3, 2))
    assert len(found.composition.x) > 3000
    packed = zlib.compress(canonical(making_report(found, BOOK)))
    assert len(packed) < 25_000
