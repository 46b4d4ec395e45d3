from collections import Counter, defaultdict
from decimal import Decimal
from itertools import combinations, pairwise
from math import atan2, degrees, sqrt

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from studio.lattice.design import WayIn
from studio.lattice.section_parts import outline_of
from studio.lattice.sections import BedLimit, divide, section_of
from studio.problem import Refused
from tests.lattice.cast import fit_of, lattices, sized
from tests.lattice.test_cells import polygons

BED = BedLimit(246, 246, 250)


def divided(lattice, columns, rows, bed=BED, spacing=90.0, way_in=None, **changes):
    wanted, fit = sized(lattice, columns, rows, **changes)
    return fit, *divide(fit, wanted, [bed], way_in or WayIn(), spacing)


def test_a_square_panel_by_hand():
    """10 x 5 cells of 44 mm on a bed of 246 mm (5 cells): two sections of 5 x 5, one seam of 220 mm: three
    keys at most 90 mm apart."""
    _, sections, seams, modules = divided("square", 10, 5)
    assert [(s.column, s.columns, s.row, s.rows, s.cells) for s in sections] == [
        (0, 5, 0, 5, 25),
        (5, 5, 0, 5, 25),
    ]
    assert [(s.width_mm, s.height_mm) for s in sections] == [(220, 220)] * 2
    assert [(s.first, s.second, s.length_mm, s.keys, s.on_site) for s in seams] == [(0, 1, 220, 3, False)]
    assert [m.sections for m in modules] == [(0, 1)]


@pytest.mark.parametrize(("spacing", "joints"), [(500, 2), (110, 2), (109, 3), (55, 4), (54, 5)])
def test_two_joints_at_least_and_keys_as_far_as_strips_cross(spacing, joints):
    """A seam of 220 mm, which four strips cross."""
    _, _, (seam,), _ = divided("square", 10, 5, spacing=spacing)
    assert (seam.joints, seam.keys) == (joints, min(joints, 4))


def test_a_seam_between_modules_is_closed_on_site():
    way_in = WayIn(width_mm=Decimal(300), length_mm=Decimal(600))
    _, sections, seams, modules = divided("square", 10, 10, way_in=way_in)
    assert [s.module for s in sections] == [0, 0, 1, 1]
    assert [(s.first, s.second, s.on_site) for s in seams] == [
        (0, 1, False), (0, 2, True), (1, 3, True), (2, 3, False),
    ]  # fmt: skip
    assert len(modules) == 2


def test_level_seams_of_triangles_are_two_over_root_three_times_as_long():
    fit, sections, seams, _ = divided("three-way", 6, 20)
    lengths = {s.length_mm for s in seams}
    assert [s.rows for s in sections] == [11, 10]
    assert lengths == {6 * 44}
    assert pytest.approx(fit.lattice_width_mm * 2 / sqrt(3)) == 6 * 44


places = (
    lattices,
    st.integers(2, 14),
    st.integers(2, 18),
    st.sampled_from([BED, BedLimit(150, 110, 100), BedLimit(100, 246, 100)]),
)


@settings(max_examples=60)
@given(*places)
def test_every_cell_is_in_one_section(lattice, columns, rows, bed):
    fit, sections, _, _ = divided(lattice, columns, rows, bed)
    counts = np.bincount(section_of(fit, sections), minlength=len(sections))
    assert counts.tolist() == [s.cells for s in sections]
    assert section_of(fit, sections).min() == 0


@settings(max_examples=60)
@given(*places)
def test_seams_have_the_length_of_the_cuts(lattice, columns, rows, bed):
    """Closed form: a seam along straight strips is as long as the panel, one that zigzags has a side for
    every step."""
    fit, sections, seams, _ = divided(lattice, columns, rows, bed)
    upright, level = len({s.column for s in sections}) - 1, len({s.row for s in sections}) - 1
    side, steps = fit.cell_side_mm, 2 if lattice == "diamond" else 1
    high = steps * rows * side if lattice in ("three-way turned", "diamond") else fit.lattice_height_mm
    wide = steps * columns * side if lattice in ("three-way", "diamond") else fit.lattice_width_mm
    twice = upright * level * side if lattice == "diamond" else 0  # where two zigzags cross they share a side
    assert sum(s.length_mm for s in seams) == pytest.approx(upright * high + level * wide - twice)


@settings(max_examples=30)
@given(*places)
def test_sections_are_what_their_cells_cover(lattice, columns, rows, bed):
    """Bounding boxes, beds and seams against the union of the cells drawn one by one."""
    fit, sections, seams, _ = divided(lattice, columns, rows, bed)
    cells, owner = np.array(list(polygons(fit).values())), section_of(fit, sections)
    drawn = [shapely.union_all(cells[owner == i], grid_size=1e-6) for i in range(len(sections))]
    for section, outline in zip(sections, drawn, strict=True):
        left, bottom, right, top = outline.bounds
        assert outline.geom_type == "Polygon"
        assert (right - left, top - bottom) == pytest.approx((section.width_mm, section.height_mm))
        assert sorted((right - left, top - bottom)) <= sorted((bed.width_mm, bed.depth_mm))
        face = shapely.Polygon(outline_of(fit, section).points)
        home = shapely.affinity.translate(outline, -left, -bottom)
        assert face.exterior.is_ccw
        assert face.symmetric_difference(home).area < 1e-3
    pairs = {(seam.first, seam.second) for seam in seams}
    for first, second in combinations(range(len(sections)), 2):
        if (first, second) not in pairs and (second, first) not in pairs:
            assert drawn[first].intersection(drawn[second]).length < 1e-3
    for seam in seams:
        shared = drawn[seam.first].intersection(drawn[seam.second])
        assert shared.length == pytest.approx(seam.length_mm, abs=1e-3)


@settings(max_examples=60)
@given(*places)
def test_a_key_for_every_strip_that_crosses_a_seam(lattice, columns, rows, bed):
    """Where two sides in one line meet, the cells on both sides of each being of one section, and these two
    differ: found from the cells drawn one by one."""
    fit, sections, seams, _ = divided(lattice, columns, rows, bed, spacing=10)
    found = crossed(fit, section_of(fit, sections).tolist())
    assert {(s.first, s.second): s.keys for s in seams if s.keys} == found


def crossed(fit, owner):
    """How many strips cross between two sections, by their indices; two at one crossing count once."""
    beside, spokes = defaultdict(list), defaultdict(dict)
    for polygon, section in zip(polygons(fit).values(), owner, strict=True):
        corners = [tuple(round(x, 3) for x in point) for point in polygon.exterior.coords]
        for pair in pairwise(corners):
            beside[frozenset(pair)].append(section)
    for side, owners in beside.items():
        (ax, ay), (bx, by) = side
        if len(owners) == 2 and owners[0] == owners[1]:
            angle = round(degrees(atan2(by - ay, bx - ax)), 1) % 360
            spokes[ax, ay][angle] = spokes[bx, by][round(angle + 180, 1) % 360] = owners[0]
    counts = Counter()
    for around in spokes.values():
        opposite = {(around[a], b) for a in around for turn, b in around.items() if abs(turn - a - 180) < 0.2}
        counts.update({tuple(sorted(pair)) for pair in opposite if pair[0] != pair[1]})
    return dict(counts)


def test_four_sections_of_rhombi_meet_along_one_side():
    """Diamond 4 x 4 boxes of 30 mm at 60 degrees, 207.8 x 120 mm, on a bed of 135 x 80: two by two sections.
    Each seam zigzags: 4 sides, less the one in the middle, which two opposite sections share."""
    _, sections, seams, _ = divided("diamond", 4, 4, BedLimit(135, 80, 100), side="30")
    assert [(s.columns, s.rows) for s in sections] == [(5, 5), (5, 4), (4, 5), (4, 4)]
    assert sum(s.cells for s in sections) == 4 * 4 + 3 * 3 + 2 * 3 + 2 * 3 + 4
    corner = [s for s in seams if s.length_mm == 30]
    assert [(s.first, s.second, s.joints) for s in corner] == [(0, 3, 1)]
    assert not any(s.keys for s in seams)  # every strip that meets a seam runs along it from there
    assert sum(s.length_mm for s in seams) == (2 * 8 - 1) * 30


def test_a_lattice_deeper_than_a_printer_is_high():
    with pytest.raises(Refused, match=r"design.depth_mm: the lattice is 60 mm deep, .* higher than 50 mm"):
        divided("square", 4, 4, bed=BedLimit(246, 246, 50), depth_mm=Decimal(60))


def test_a_low_printer_is_passed_over():
    wanted, fit = sized("square", 10, 5, depth_mm=Decimal(60))
    large, high = BedLimit(500, 500, 50), BedLimit(246, 246, 250)
    assert len(divide(fit, wanted, [large, high], WayIn(), 90)[0]) == 2


def test_a_panel_that_a_bed_takes_whole_has_no_seam():
    _, sections, seams, modules = divided("three-way", 5, 10)
    assert (len(sections), len(seams), len(modules)) == (1, 0, 1)
    assert fit_of("three-way", 5, 10).lattice_height_mm == sections[0].height_mm
