from collections import Counter
from decimal import Decimal

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.affinity import translate

from studio.lattice.bill import BedLimit, bill_of
from studio.lattice.composition import compose
from studio.lattice.design import AllOver, BorderAndField, Infill, WayIn
from studio.lattice.sections import section_of
from studio.problem import Refused
from tests.lattice.cast import LATTICES, OPEN, PATTERN, STAR, lattices, sized
from tests.lattice.test_cells import polygons

BED = BedLimit(246, 246, 250)


def billed(lattice="three-way", columns=6, rows=8, *, bed=BED, way_in=None, spares=2.0, **changes):
    return bill_of(compose(*sized(lattice, columns, rows, **changes)), [bed], way_in or WayIn(), 90, spares)


def by_code(bill, code):
    return [part for part in bill.parts if part.code == code]


def test_infills_of_a_three_way_panel_by_hand():
    """6 columns by 8 half sides: 6 * 7 whole and 12 half cells, half of them of either hand. 2 % of them,
    rounded up."""
    bill = billed()
    assert bill.cells == (42, 12, 0)
    assert bill.open_cells == 0
    assert {(p.size, p.count, p.spares) for p in bill.infills} == {
        ("whole", 42, 1),
        ("half, left hand", 6, 1),
        ("half, right hand", 6, 1),
    }
    assert {p.nests for p in bill.infills} == {"triangle"}


def test_spares_are_rounded_up():
    """101 cells at 2 % are 2.02 spares, so 3; 100 are 2."""
    assert billed("square", 10, 10, bed=BedLimit(999, 999, 99)).infills[0].spares == 2
    assert billed("square", 101, 1, bed=BedLimit(9999, 999, 99), way_in=ANYWHERE).infills[0].spares == 3


ANYWHERE = WayIn(width_mm=Decimal(20_000), length_mm=Decimal(20_000))


def test_one_pattern_in_two_colours_is_two_kinds_of_part():
    arrangement = BorderAndField(border=STAR, field=Infill(pattern=STAR.pattern, filament="Indigo"))
    bill = billed(arrangement=arrangement)
    whole = {p.filament: p for p in bill.infills if p.size == "whole"}
    assert whole["Indigo"].count == 4 * 5  # columns 1 to 4, rows 2 to 6
    assert whole["Tea"].count == 42 - 20
    assert whole["Indigo"].face.digest == whole["Tea"].face.digest
    assert bill.colours == 3  # and Walnut


def test_an_infill_has_one_face_whichever_way_its_cells_face():
    """A panel one column wide and two half sides high has one whole cell, facing left."""
    faces = {p.size: p.face.digest for p in billed(columns=6).infills}
    narrow = {p.size: p.face.digest for p in billed(columns=1, rows=2).infills}
    assert narrow.items() <= faces.items()


def test_open_cells_have_no_infill():
    bill = billed(arrangement=AllOver(infill=OPEN))
    assert bill.infills == ()
    assert bill.open_cells == 54
    assert bill.colours == 1


def test_sections_of_a_square_panel_by_hand():
    """13 x 8 cells of 44 mm on a bed of five: 4 + 5 + 4 columns, 4 + 4 rows: four sections of 4 x 4 and two
    of 5 x 4."""
    parts = by_code(billed("square", 13, 8), "section")
    assert [(p.size, p.count, p.spares) for p in parts] == [("A, 4 × 4", 4, 0), ("B, 5 × 4", 2, 0)]
    assert [(p.face.width_mm, p.face.height_mm) for p in parts] == [(176, 176), (220, 176)]
    assert parts[0].face.area_mm2 == pytest.approx(176**2 - 16 * 40.8**2)
    assert [(ring.hole, ring.count) for ring in parts[0].face.rings] == [(False, 1), (True, 16)]


@pytest.mark.parametrize(
    ("lattice", "columns", "rows", "counts"),
    [
        ("three-way", 6, 12, [2] * 3),
        ("three-way", 6, 11, [2, 2]),
        ("three-way", 5, 12, [1] * 4 + [2]),
        ("three-way", 7, 11, [2, 2, 2]),
        ("three-way turned", 11, 7, [2, 2, 2]),
        ("diamond", 5, 5, [1, 1, 1, 1, 3, 3]),
        ("diamond", 4, 6, [1] * 6 + [2] * 3),
    ],
)
def test_sections_that_are_equal_or_turns_of_each_other_are_one_kind(lattice, columns, rows, counts):
    """A section is known by the middles of its cells, as they lie or turned by 180 degrees."""
    wanted, fit = sized(lattice, columns, rows)
    bed = BedLimit(132, 132, 200)
    bill = bill_of(compose(wanted, fit), [bed], WayIn(), 90, 2)
    cells, owner = polygons(fit).values(), section_of(fit, bill.sections)
    middles = np.array([(cell.centroid.x, cell.centroid.y) for cell in cells])
    kinds = Counter(signature(middles[owner == i]) for i in range(len(bill.sections)))
    assert sorted(kinds.values()) == counts
    assert sorted(p.count for p in by_code(bill, "section")) == counts


def signature(points):
    """The same for a set of points and the set turned, wherever it lies."""
    turns = (np.round(turned - turned.min(axis=0), 3) + 0.0 for turned in (points, -points))
    return min(tuple(sorted(map(tuple, turned.tolist()))) for turned in turns)


cases = (
    lattices,
    st.integers(2, 14),
    st.integers(2, 18),
    st.sampled_from([BED, BedLimit(150, 110, 100)]),
    st.sampled_from([WayIn(), WayIn(width_mm=Decimal(320), length_mm=Decimal(700))]),
)


@settings(max_examples=50)
@given(*cases)
def test_everything_adds_up(lattice, columns, rows, bed, way_in):
    infill = Infill(pattern=PATTERN[lattice], filament="Tea")
    bill = billed(lattice, columns, rows, bed=bed, way_in=way_in, arrangement=AllOver(infill=infill))
    cells = sum(bill.cells)
    assert sum(p.count for p in bill.infills) + bill.open_cells == cells
    assert sum(s.cells for s in bill.sections) == cells
    assert sum(p.count for p in by_code(bill, "section")) == len(bill.sections)
    assert sum(p.count for p in by_code(bill, "key")) == sum(s.keys for s in bill.seams)
    assert sum(p.count for p in by_code(bill, "corner")) == 4
    holes = sum(ring.count * p.count for p in by_code(bill, "section") for ring in p.face.rings if ring.hole)
    assert holes == cells
    assert Counter(s.module for s in bill.sections) == {
        i: len(m.sections) for i, m in enumerate(bill.modules)
    }
    assert bill.hangers == 2 * len(bill.modules)


@settings(max_examples=50)
@given(*cases)
def test_sections_and_openings_make_up_the_lattice(lattice, columns, rows, bed, way_in):
    """Area conservation: the lattice's area is that of its strips and of its clear openings."""
    wanted, fit = sized(lattice, columns, rows)
    panel = compose(wanted, fit)
    bill = bill_of(panel, [bed], way_in, 90, 2)
    strips = sum(p.face.area_mm2 * p.count for p in by_code(bill, "section"))
    kinds = Counter(zip(panel.shape.tolist(), panel.facing.tolist(), strict=True))
    clear = sum(panel.openings[kind].area * count for kind, count in kinds.items())
    assert strips + clear == pytest.approx(fit.lattice_width_mm * fit.lattice_height_mm)


@pytest.mark.parametrize("lattice", LATTICES)
def test_sections_are_the_panel_less_its_openings(lattice):
    """A small panel drawn: the rectangle between the outer centre lines less each opening in its place."""
    panel = compose(*sized(lattice, 5, 7))
    places = zip(panel.shape.tolist(), panel.facing.tolist(), panel.x.tolist(), panel.y.tolist(), strict=True)
    openings = [translate(panel.openings[shape, facing], x, y) for shape, facing, x, y in places]
    drawn = shapely.box(0, 0, panel.fit.lattice_width_mm, panel.fit.lattice_height_mm)
    drawn = drawn.difference(shapely.union_all(openings))
    sections = by_code(bill_of(panel, [BedLimit(150, 110, 100)], WayIn(), 90, 2), "section")
    assert len(drawn.interiors) == len(openings)
    assert sum(p.face.area_mm2 * p.count for p in sections) == pytest.approx(drawn.area)


def test_crossing_strips_are_counted_once():
    """5 x 3 cells of 60 mm, strips of 6: four and two halves upright, two and two halves level: 5 * 6 * 180 +
    3 * 6 * 300 - 15 * 6 * 6 = 10 260 (inclusion-exclusion)."""
    bill = billed("square", 5, 3, side="60", strip_width_mm=Decimal(6))
    assert sum(p.face.area_mm2 * p.count for p in by_code(bill, "section")) == pytest.approx(10_260)


def test_a_large_panel_keeps_its_area():
    """50 columns by 60 half sides, 3050 cells: area n*h * k*s/2 = 50 * 60 * s*s*sqrt(3)/4."""
    bill = billed(columns=50, rows=60)
    outer = [(p.face.rings[0].points, p.count) for p in by_code(bill, "section")]
    assert sum(bill.cells) == 3050
    assert sum(shoelace(points) * count for points, count in outer) == pytest.approx(
        3000 * 44**2 * 3**0.5 / 4
    )


def shoelace(points):
    """Area of a ring, positive when anticlockwise."""
    (x, y), (x2, y2) = points.T, np.roll(points, -1, axis=0).T
    return ((x * y2 - x2 * y) / 2).sum()


@settings(max_examples=40)
@given(*cases)
def test_a_face_is_as_large_as_its_rings(lattice, columns, rows, bed, way_in):
    for part in billed(
        lattice, columns, rows, bed=bed, way_in=way_in, arrangement=AllOver(infill=OPEN)
    ).parts:
        signed = (abs(shoelace(r.points)) * r.count * (-1 if r.hole else 1) for r in part.face.rings)
        assert part.face.area_mm2 == pytest.approx(sum(signed))
        assert not part.face.rings[0].points.flags.writeable
        for ring in part.face.rings[1:]:
            assert ring.hole


def test_keys_have_spares_and_a_panel_in_one_section_has_none():
    (key,) = by_code(billed("square", 10, 5), "key")
    assert (key.count, key.spares, key.depth_mm) == (3, 1, 3)
    assert by_code(billed("square", 5, 5), "key") == []


@settings(max_examples=60)
@given(
    st.decimals(Decimal(1), Decimal(6), places=1),
    st.decimals(Decimal(0), Decimal("0.5"), places=2),
    st.decimals(Decimal(2), Decimal(12), places=1),
)
def test_a_key_lies_in_its_strip_and_can_be_printed(strip, play, depth):
    """Two beads of 0.45 mm are the least width of anything printed, one is the least beside a pocket: found
    by growing and eroding the drawn key. Half a strip is the least that a section prints at its seams."""
    sizes = {"strip_width_mm": strip, "clearance_mm": play, "depth_mm": depth, "infill_depth_mm": depth}
    if strip < Decimal("1.8"):
        with pytest.raises(Refused, match=r"strip_width_mm: .* half a strip .*; ground .* least 1.8"):
            billed("square", 10, 5, **sizes)
        return
    if strip < Decimal("2.25") + 2 * play:  # an end of 1.35 narrows to a waist of 0.9
        with pytest.raises(Refused, match=r"strip_width_mm: a key .*; ground strips of at least"):
            billed("square", 10, 5, **sizes)
        return
    (key,) = by_code(billed("square", 10, 5, **sizes), "key")
    outline = shapely.Polygon(key.face.rings[0].points - [key.face.width_mm / 2, key.face.height_mm / 2])
    room = float(strip) / 2 - 0.45
    assert shapely.box(-99, -room, 99, room).buffer(1e-9).contains(outline.buffer(float(play)))
    assert outline.buffer(-0.449).geom_type == "Polygon"
    assert key.depth_mm <= float(depth) / 2


def test_a_panel_in_one_section_needs_no_room_for_keys():
    assert not by_code(billed("square", 5, 5, strip_width_mm=Decimal(2)), "key")


def test_backing_and_light_are_of_the_whole_panel():
    """10 x 5 cells of 44 mm and 12 mm edging: 464 x 244 mm; strips 80 mm apart."""
    bill = billed("square", 10, 5, backing="diffuser", lit=True)
    assert bill.backing_area_mm2 == pytest.approx(464 * 244)
    assert bill.light_length_mm == pytest.approx(464 * 244 / 80)
    plain = billed("square", 10, 5)
    assert (plain.backing_area_mm2, plain.light_length_mm) == (0, 0)


def test_depths():
    bill = billed("square", 10, 5, depth_mm=Decimal(9), infill_depth_mm=Decimal(5))
    assert {p.code: p.depth_mm for p in bill.parts} == {
        "infill": 5, "section": 9, "rail": 9, "corner": 9, "key": 3,
    }  # fmt: skip


def test_the_same_panel_has_the_same_digests():
    assert [p.face.digest for p in billed().parts] == [p.face.digest for p in billed().parts]
