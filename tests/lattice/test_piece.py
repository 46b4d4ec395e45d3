"""Pieces: one printable polygon in every cell, exact to the clearance, or refused with the reason."""

from itertools import pairwise
from math import hypot, radians, sin, sqrt

import numpy as np
import pytest
import shapely
from hypothesis import example, given, settings
from hypothesis import strategies as st
from shapely import LineString, Point, Polygon, box
from shapely.affinity import rotate, scale, translate

from studio.lattice.cell import cell_corners, cell_polygon
from studio.lattice.cut import BEAD_MM, LEAST_STRIP_MM, NOZZLE_MM, Sizes, cut
from studio.lattice.kinds import kind_of
from studio.lattice.patterns import pattern, patterns
from studio.lattice.piece import density, least_side_mm, opening_polygon, piece_for
from studio.lattice.shapes import HALF_HANDS
from studio.problem import Refused
from tests.lattice.cast import LATTICES

DRAWN = [p for p in patterns() if not p.is_open]
USUAL = (44.0, 3.2, 2.0, 0.15)
HAIR = 1e-6


def ids(design):
    return design.slug


def pieces(design, sizes=USUAL):
    """Every piece of a pattern with the shape and facing of its cell."""
    for shape, facing in kind_of(design.lattice).shapes:
        piece = piece_for(design, design.lattice, shape, facing, *sizes)
        if piece is not None:
            yield shape, facing, piece


def same(a: Polygon, b: Polygon) -> bool:
    return a.symmetric_difference(b).area < 0.002 * a.length


def congruent_by_turning(a: Polygon, b: Polygon) -> bool:
    home = [translate(p, -p.centroid.x, -p.centroid.y) for p in (a, b)]
    return any(same(home[0], rotate(home[1], angle, origin=(0, 0))) for angle in range(0, 360, 30))


# openings


def test_the_equilateral_cell():
    """Check value G1, side 100: height, area and inradius of an equilateral triangle, plane geometry."""
    cell = cell_polygon("three-way", "whole", 0, 100.0)
    left, low, right, high = cell.bounds
    assert (right - left, high - low) == pytest.approx((86.602540, 100), abs=1e-6)
    assert cell.area == pytest.approx(4330.127019, abs=1e-6)
    assert cell.centroid.distance(cell.boundary) == pytest.approx(28.867513, abs=1e-6)
    assert hypot(cell.centroid.x - right, cell.centroid.y) == pytest.approx(57.735027, abs=1e-6)


def test_an_inset_triangle_keeps_the_known_side():
    """Check value G11, side 30 by 2: a - 2 sqrt 3 t, mitred inward offset."""
    inset = opening_polygon("three-way", "whole", 0, 30.0, 2.0)
    assert inset.length / 3 == pytest.approx(23.071797, abs=1e-6)
    assert inset.area == pytest.approx(230.496041, abs=1e-6)


def test_clear_openings_in_closed_form():
    side, strip, play = 44.0, 3.2, 0.15
    triangle = opening_polygon("three-way", "whole", 1, side, strip / 2 + play)
    square = opening_polygon("square", "whole", 0, side, strip / 2 + play)
    assert triangle.length / 3 == pytest.approx(side - sqrt(3) * (strip + 2 * play))
    assert square.length / 4 == pytest.approx(side - strip - 2 * play)


@given(side=st.floats(30, 200), inset=st.floats(0.01, 5))
@example(side=36.30996693146488, inset=3.1994101626001568)  # found: overlaying almost equal outlines fails
def test_openings_agree_with_a_general_inward_offset(side, inset):
    for lattice in LATTICES:
        cells = kind_of(lattice).shapes
        for shape, facing in cells:
            ours = opening_polygon(lattice, shape, facing, side, inset)
            theirs = cell_polygon(lattice, shape, facing, side).buffer(-inset, join_style="mitre")
            assert ours.exterior.is_ccw
            assert ours.hausdorff_distance(theirs) < 1e-6


@given(side=st.floats(30, 200), strip=st.floats(1, 5), play=st.floats(0, 0.5), angle=st.floats(30, 150))
def test_a_diamond_s_opening_in_closed_form(side, strip, play, angle):
    """A rhombus inset by t keeps its angles and the side a - 2t/sin(angle), plane geometry."""
    opening = opening_polygon("diamond", "whole", 0, side, strip / 2 + play, angle)
    keeps = side - (strip + 2 * play) / sin(radians(angle))
    assert opening.length / 4 == pytest.approx(keeps)
    assert opening.area == pytest.approx(keeps**2 * sin(radians(angle)))


def test_half_a_cell_leaves_less_than_half_an_opening():
    whole = opening_polygon("three-way", "whole", 0, 44.0, 1.75)
    half = opening_polygon("three-way", HALF_HANDS[0], 0, 44.0, 1.75)
    assert half.area < 0.45 * whole.area


def test_a_cell_without_an_opening_is_refused():
    with pytest.raises(Refused) as refused:
        opening_polygon("square", "whole", 0, 6.0, 3.0)
    assert refused.value.problems[0].field == "design.cell_side_mm"
    assert refused.value.problems[0].remedy == "a side of more than 6 mm, or narrower strips"


@pytest.mark.parametrize(
    ("lattice", "shape", "facing"), [("square", "quarter", 0), ("three-way", HALF_HANDS[0], 1)]
)
def test_a_cell_that_the_lattice_does_not_have_is_an_error(lattice, shape, facing):
    with pytest.raises(ValueError, match="has no"):
        piece_for(pattern("open", lattice), lattice, shape, facing, *USUAL)


# pieces


@pytest.mark.parametrize("design", DRAWN, ids=ids)
@settings(max_examples=8)
@given(
    over=st.integers(0, 120),
    strip=st.floats(1, 8),
    infill_strip=st.floats(LEAST_STRIP_MM, 3.5),
    play=st.floats(0, 0.5),
)
@example(over=0, strip=5.035214410276335, infill_strip=1.5, play=0.26601587459511183)
@example(over=0, strip=6.25, infill_strip=1.5, play=0.0)
@example(over=0, strip=6.19254934, infill_strip=1.5, play=0.0)
def test_every_piece_is_one_valid_polygon_in_its_opening(design, over, strip, infill_strip, play):
    side = least_side_mm(design, strip, infill_strip, play) + over / 2
    for shape, facing, piece in pieces(design, (side, strip, infill_strip, play)):
        assert isinstance(piece.outline, Polygon)
        assert piece.outline.is_valid
        assert piece.outline.exterior.is_ccw
        assert not any(ring.is_ccw for ring in piece.outline.interiors)
        clear = opening_polygon(design.lattice, shape, facing, side, strip / 2)
        assert clear.buffer(HAIR).covers(piece.outline)
        assert clear.exterior.distance(piece.outline) >= play - HAIR


@pytest.mark.parametrize("design", DRAWN, ids=ids)
def test_every_piece_reaches_the_sides_of_its_opening(design):
    """All that holds a piece is where it touches its cell: on every side."""
    for shape, facing, piece in pieces(design):
        corners = opening_polygon(design.lattice, shape, facing, 44.0, 1.75).exterior.coords
        for side in map(LineString, pairwise(corners)):
            assert side.distance(piece.outline) < 0.01


@pytest.mark.parametrize("design", DRAWN, ids=ids)
def test_facings_are_the_same_piece_turned_or_mirrored(design):
    by_facing = {(shape, facing): piece for shape, facing, piece in pieces(design)}
    for shape, facing in by_facing:
        first, second = by_facing[shape, facing], by_facing.get((shape, facing ^ 1))
        if second is not None:
            assert first.outline.area == pytest.approx(second.outline.area)
    if design.facings == "both" and design.lattice == "three-way":
        outlines = {key: piece.outline for key, piece in by_facing.items()}
        assert same(scale(outlines["whole", 0], -1, -1, origin=(0, 0)), outlines["whole", 1])
        assert same(scale(outlines[HALF_HANDS[0], 0], -1, 1, origin=(0, 0)), outlines[HALF_HANDS[1], 1])
        assert same(scale(outlines[HALF_HANDS[1], 1], -1, -1, origin=(0, 0)), outlines[HALF_HANDS[2], 2])
        assert same(scale(outlines[HALF_HANDS[0], 0], -1, -1, origin=(0, 0)), outlines[HALF_HANDS[3], 3])


@pytest.mark.parametrize("design", DRAWN, ids=ids)
def test_pieces_share_a_name_exactly_when_one_is_a_turn_of_the_other(design):
    made = [piece for _, _, piece in pieces(design)]
    for first in made:
        for second in made:
            turned = congruent_by_turning(first.outline, second.outline)
            assert (first.made_as == second.made_as) == turned, (first.made_as, second.made_as)


@pytest.mark.parametrize("design", [p for p in DRAWN if p.lattice == "three-way"], ids=ids)
def test_a_turned_lattice_has_the_same_pieces_turned_by_a_quarter(design):
    for shape, facing in kind_of("three-way turned").shapes:
        upright = piece_for(design, "three-way", shape, facing, *USUAL)
        turned = piece_for(design, "three-way turned", shape, facing, *USUAL)
        if upright is None:
            assert turned is None
            continue
        assert turned.made_as == upright.made_as
        assert turned.outline.area == pytest.approx(upright.outline.area)
        back = rotate(turned.outline, -90, origin=(0, 0))
        assert back.symmetric_difference(upright.outline).area < HAIR
        clear = opening_polygon("three-way turned", shape, facing, 44.0, 1.75)
        assert clear.buffer(HAIR).covers(turned.outline)


@pytest.mark.parametrize("design", [p for p in DRAWN if p.lattice == "diamond"], ids=ids)
@settings(max_examples=6)
@given(angle=st.floats(45, 135), over=st.integers(0, 60))
def test_diamond_pieces_lie_in_their_openings_at_every_angle(design, angle, over):
    side = least_side_mm(design, 3.2, 2.0, 0.15, angle) + over / 2
    for shape, facing in kind_of("diamond").shapes:
        piece = piece_for(design, "diamond", shape, facing, side, 3.2, 2.0, 0.15, angle)
        clear = opening_polygon("diamond", shape, facing, side, 1.75, angle)
        assert piece.outline.is_valid
        assert clear.buffer(HAIR).covers(piece.outline)
        for edge in map(LineString, pairwise(clear.exterior.coords)):
            assert edge.distance(piece.outline) < 0.01


def test_halves_of_a_diamond_are_turned_and_quarters_mirrored():
    for design in DRAWN:
        if design.lattice == "diamond":
            found = {(shape, facing): piece.outline for shape, facing, piece in pieces(design)}
            for way in ("level", "upright"):
                first, second = (found[f"half, cut {way}", facing] for facing in (0, 1))
                assert same(scale(first, -1, -1, origin=(0, 0)), second)
            corner = found["quarter, left hand", 0]
            assert same(scale(corner, -1, 1, origin=(0, 0)), found["quarter, right hand", 1])
            assert same(scale(corner, 1, -1, origin=(0, 0)), found["quarter, right hand", 2])
            assert same(scale(corner, -1, -1, origin=(0, 0)), found["quarter, left hand", 3])


def test_a_mirror_image_is_a_part_of_its_own_unless_it_is_also_a_turn():
    names = {
        slug: {
            piece_for(pattern(slug, "square"), "square", "whole", facing, *USUAL).made_as for facing in (0, 1)
        }
        for slug in ("square-hemp-leaf", "pinwheel", "cross")
    }
    assert {slug: len(found) for slug, found in names.items()} == {
        "square-hemp-leaf": 1,
        "pinwheel": 2,
        "cross": 1,
    }


def test_scales_fill_one_way_and_leave_the_other_open():
    filled = {(shape, facing) for shape, facing, _ in pieces(next(p for p in DRAWN if p.slug == "scales"))}
    assert filled == {("whole", 0), (HALF_HANDS[0], 0), (HALF_HANDS[2], 2)}
    piece = piece_for(pattern("scales", "three-way"), "three-way", "whole", 0, *USUAL)
    assert same(piece.outline, opening_polygon("three-way", "whole", 0, 44.0, 1.75))
    keeps = 44 - sqrt(3) * (3.2 + 2 * 0.15)  # a triangle's inset, check value G11
    assert piece.outline.area == pytest.approx(sqrt(3) / 4 * keeps**2)


@pytest.mark.parametrize("lattice", LATTICES)
def test_open_leaves_every_cell_empty(lattice):
    for shape, facing in kind_of(lattice).shapes:
        assert piece_for(pattern("open", lattice), lattice, shape, facing, *USUAL) is None
    assert density(pattern("open", lattice), *USUAL) == 0


def around_crossing(slug):
    """The six whole pieces round a crossing at the origin."""
    for facing in (0, 1):
        outline = piece_for(pattern(slug, "three-way"), "three-way", "whole", facing, *USUAL).outline
        for x, y in cell_corners("three-way", "whole", facing, 44.0):
            yield translate(outline, -x, -y)


@pytest.mark.parametrize("slug", ["hemp-leaf", "tortoiseshell", "basket-weave", "six-petals"])
def test_six_cells_make_a_figure_that_a_sixth_turn_leaves_alone(slug):
    star = shapely.union_all(list(around_crossing(slug)))
    assert star.area == pytest.approx(
        6 * piece_for(pattern(slug, "three-way"), "three-way", "whole", 0, *USUAL).outline.area
    )
    assert star.symmetric_difference(rotate(star, 60, origin=(0, 0))).area < 0.1


def test_square_hemp_leaf_shows_16_and_8_rays():
    """A circle round a crossing, inside the points where leaves meet, crosses each ray and strip once."""
    side, strip = 100.0, 3.2
    found = []
    for column in (0, 1):
        material = [box(-strip / 2, -side, strip / 2, side), box(-side, -strip / 2, side, strip / 2)]
        for i, j in ((0, 0), (1, 0), (0, 1), (1, 1)):
            facing = (column + i + j) % 2
            outline = piece_for(
                pattern("square-hemp-leaf", "square"), "square", "whole", facing, side, strip, 2.0, 0.15
            ).outline
            material.append(translate(outline, (i - 0.5) * side, (j - 0.5) * side))
        circle = Point(0, 0).buffer(35).exterior
        crossed = circle.intersection(shapely.union_all(material))
        found.append(len(shapely.get_parts(shapely.line_merge(crossed))))
    assert found == [16, 8]


def test_arcs_of_a_piece_lie_within_the_tolerance_of_the_true_ones():
    """The space in the middle of seven treasures lies outside four circles: half a strip off each."""
    side, infill_strip = 120.0, 2.0
    outline = piece_for(
        pattern("seven-treasures", "square"), "square", "whole", 0, side, 3.2, infill_strip, 0.15
    ).outline
    (hole,) = outline.interiors
    edge = np.array(hole.segmentize(0.5).coords)
    upper = edge[np.abs(np.arctan2(edge[:, 0], edge[:, 1])) < 0.5]
    off = np.hypot(upper[:, 0], side - upper[:, 1]) - (side / sqrt(2) + infill_strip / 2)
    assert len(upper) > 50
    assert np.abs(off).max() <= 0.05


def test_wedges_are_filled_to_the_radius_of_the_nozzle():
    """Between leaves at 120 degrees the corner is rounded: in the middle the fill is r/sin 60 - r deep."""
    outline = piece_for(pattern("hemp-leaf", "three-way"), "three-way", "whole", 0, *USUAL).outline
    centre = cell_polygon("three-way", "whole", 0, 44.0).centroid
    between = LineString([(centre.x, centre.y), (centre.x - 5, centre.y)])  # halfway between two leaves
    filled = NOZZLE_MM / 2 * (1 / np.sin(np.pi / 3) - 1)
    assert outline.intersection(between).length == pytest.approx(1 / np.sin(np.pi / 3) + filled, abs=0.02)


def test_a_rim_comes_only_where_strokes_would_part():
    wide, narrow = (
        piece_for(
            pattern("basket-weave", "three-way"), "three-way", "whole", 0, 60.0, 3.2, infill_strip, 0.15
        )
        for infill_strip in (3.0, 1.2)
    )
    assert (wide.rim, narrow.rim) == (False, True)
    assert not piece_for(pattern("hemp-leaf", "three-way"), "three-way", "whole", 0, *USUAL).rim
    edge = opening_polygon("three-way", "whole", 0, 60.0, 1.75).exterior
    assert narrow.outline.buffer(HAIR).covers(edge)
    assert len(narrow.outline.interiors) == 4


def test_thicker_strokes_cover_more():
    for design in DRAWN:
        if design.slug != "scales":  # filled, whatever the strip
            thin, thick = (density(design, 120.0, 3.2, width, 0.15) for width in (3.4, 4.0))
            assert 0 < thin < thick < 1
    assert density(pattern("scales", "three-way"), 60.0, 3.2, 2.0, 0.0) == pytest.approx(0.5)


def test_a_hemp_leaf_covers_about_its_three_strips():
    """Opening side s - sqrt 3 w; three strips from the middle to the corners, less what overlaps in the
    middle and the tips beyond the corners: hand count within 5 %."""
    clear = 44 - sqrt(3) * 3.5
    by_hand = (3 * 2.0 * clear / sqrt(3) - sqrt(3) / 4 * 2.0**2 - 3 * sqrt(3) / 4 * 2.0**2) / (
        sqrt(3) / 4 * (44 - sqrt(3) * 3.2) ** 2
    )
    assert density(pattern("hemp-leaf", "three-way"), *USUAL) == pytest.approx(by_hand, rel=0.05)


# the knife's edge

KNIFE_EDGES = [
    ("basket-weave", (400.0, 5.035214410276335, 1.5, 0.26601587459511183)),
    ("basket-weave", (43.0, 6.25, 1.5, 0.0)),
    ("basket-weave", (76.0, 6.25, 1.2, 0.0)),
    ("basket-weave", (42.0, 3.0, 1.29, 0.5)),
    ("basket-weave", (316.0, 5.6, 1.442822999975391, 0.3)),
    ("star-weave", (394.5, 4.5, 2.75, 0.5)),
    ("star-weave", (34.0, 4.5, 2.4, 0.43)),
    ("star-weave", (72.5, 2.866686725417754, 1.8664536611792961, 0.49940405156210266)),
]
"""Cuts that leave two corners a rounding error apart: growing lost a whole gap of each."""


@pytest.mark.parametrize(("slug", "lengths"), KNIFE_EDGES)
def test_a_piece_at_a_knife_s_edge_is_like_those_beside_it(slug, lengths):
    design, (side, *rest) = pattern(slug, "three-way"), lengths
    here, *beside = (cut(design, "whole", Sizes(side + more, *rest)) for more in (0, -0.5, 0.5))
    assert [piece.flaw for piece in (here, *beside)] == [""] * 3
    assert {piece.rim for piece in (here, *beside)} == {slug == "basket-weave"}
    assert here.outline.area == pytest.approx(sum(piece.outline.area for piece in beside) / 2, rel=1e-3)


def test_no_cell_side_is_too_small_for_a_gap_that_a_smaller_one_keeps():
    """At the lengths that Hypothesis found, a whole cell of 400 mm, and only that, was refused."""
    basket_weave = pattern("basket-weave", "three-way")
    assert least_side_mm(basket_weave, 5.035214410276335, 1.5, 0.26601587459511183) == 40.0
    assert (
        least_side_mm(basket_weave, 5.03, 1.5, 0.266) == least_side_mm(basket_weave, 5.04, 1.5, 0.266) == 40.0
    )


# refusals


@pytest.mark.parametrize("design", DRAWN, ids=ids)
def test_the_least_side_works_and_half_a_millimetre_less_does_not(design):
    least = least_side_mm(design, 8.0, 2.0, 0.15)
    assert list(pieces(design, (least, 8.0, 2.0, 0.15)))
    with pytest.raises(Refused) as refused:
        list(pieces(design, (least - 0.5, 8.0, 2.0, 0.15)))
    (problem,) = refused.value.problems
    assert problem.field == "design.cell_side_mm"
    assert f"{least - 0.5:g} mm" in problem.reason
    assert f"at least {least:g} mm" in problem.remedy


@pytest.mark.parametrize("design", DRAWN, ids=ids)
def test_every_side_from_the_least_on_works(design):
    least = least_side_mm(design, 3.2, 2.0, 0.15)
    for half_mm in range(30):
        for form in kind_of(design.lattice).forms:
            sizes = Sizes(least + half_mm / 2, 3.2, 2.0, 0.15)
            assert cut(design, form, sizes).flaw == "", sizes


def test_a_strip_of_less_than_two_beads_is_refused():
    with pytest.raises(Refused) as refused:
        piece_for(pattern("hemp-leaf", "three-way"), "three-way", "whole", 0, 44.0, 3.2, 0.8, 0.15)
    (problem,) = refused.value.problems
    assert problem.field == "design.infill_strip_mm"
    assert problem.reason == "Hemp leaf would have strips 0.8 mm wide, two beads take 0.9 mm"
    assert problem.remedy == "an infill strip of at least 0.9 mm"


def test_a_gap_narrower_than_a_bead_is_refused():
    """Well crib: bars at the thirds of 12 mm are 4 mm apart; 3.6 mm strips leave 0.4 mm, 3.5 mm 0.5 mm."""
    assert 4 - 3.6 < BEAD_MM < 4 - 3.5
    assert cut(pattern("well-crib", "square"), "whole", Sizes(12.0, 0.0, 3.5, 0.0)).flaw == ""
    with pytest.raises(Refused) as refused:
        piece_for(pattern("well-crib", "square"), "square", "whole", 0, 12.0, 0.0, 3.6, 0.0)
    assert "a gap in a whole cell is narrower than a bead (0.45 mm)" in refused.value.problems[0].reason
    assert "at least 12.5 mm" in refused.value.problems[0].remedy


def test_an_opening_too_small_is_refused():
    with pytest.raises(Refused, match="strips of 6 mm leave too small an opening in a whole cell"):
        piece_for(pattern("hemp-leaf", "three-way"), "three-way", "whole", 0, 12.0, 6.0, 2.0, 0.15)


def test_strokes_that_fall_apart_are_refused():
    """A ring of radius 0.09 x 30 = 2.7 mm in a half cell whose opening only has an inradius of
    0.183 x 30 - 3.4 = 2.1 mm is cut through."""
    with pytest.raises(Refused, match="the strokes of a half cell fall apart"):
        piece_for(pattern("spoked-ring", "three-way"), "three-way", HALF_HANDS[0], 0, 30.0, 6.4, 0.9, 0.2)


def test_what_no_side_can_mend_is_refused_by_its_cause():
    """Ground strips of 400 mm leave no opening in any cell up to 400 mm."""
    with pytest.raises(Refused) as refused:
        least_side_mm(pattern("cross", "square"), 400.0, 2.0, 0.15)
    assert refused.value.problems[0].field == "design.infill_strip_mm"
    assert "whatever the cell side" in refused.value.problems[0].reason


def test_open_asks_for_no_strip_but_for_an_opening():
    assert least_side_mm(pattern("open", "square"), 8.0, 0.1, 0.15) == 12.0
