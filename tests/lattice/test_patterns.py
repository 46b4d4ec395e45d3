"""Patterns as data: what there is, and the angles and lengths that the traditional ones are known by."""

from itertools import pairwise
from math import atan2, cos, degrees, dist, pi, radians, sqrt
from typing import get_args

import networkx as nx
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import LineString, Point, Polygon, polygonize, union_all
from shapely.affinity import scale as scaled
from shapely.affinity import translate

from studio.lattice.cell import cell_corners, cell_polygon
from studio.lattice.kinds import kind_of
from studio.lattice.kinds.patterns.layout import arcs_round, whirl
from studio.lattice.pattern import Arc, CellForm, Line, Pattern
from studio.lattice.patterns import pattern, patterns
from studio.lattice.piece import density
from studio.lattice.shapes import form_of
from studio.lattice.strokes import ARC_TOLERANCE_MM, arc_points, scale_of
from studio.problem import Refused
from tests.lattice.cast import LATTICES


def angle_between(a, apex, b):
    first, second = (degrees(atan2(p[1] - apex[1], p[0] - apex[0])) for p in (a, b))
    return abs((first - second + 180) % 360 - 180)


def test_each_lattice_offers_a_choice():
    counts = {lattice: len(patterns(lattice)) for lattice in LATTICES}  # with "open"
    assert counts == {"three-way": 15, "three-way turned": 15, "square": 13, "diamond": 6}


def test_a_slug_names_one_pattern():
    slugs = [p.slug for p in patterns() if p.slug != "open"]
    assert len(set(slugs)) == len(slugs)


@pytest.mark.parametrize("lattice", LATTICES)
def test_open_is_there_in_every_lattice_and_has_no_strokes(lattice):
    found = pattern("open", lattice)
    assert found.lattice == kind_of(lattice).family
    assert not any(found.strokes(form) for form in kind_of(found.lattice).forms)


@pytest.mark.parametrize("design", [p for p in patterns() if not p.is_open], ids=lambda p: p.slug)
def test_every_form_of_cell_has_strokes_of_its_own(design: Pattern):
    assert all(design.strokes(form) for form in kind_of(design.lattice).forms)
    others = set(get_args(CellForm)) - set(kind_of(design.lattice).forms)
    assert not any(design.strokes(form) for form in others)


def test_a_misspelt_pattern_is_refused_with_the_near_ones():
    with pytest.raises(Refused) as refused:
        pattern("Hemp leef", "three-way")
    (problem,) = refused.value.problems
    assert problem.reason == "there is no pattern called “Hemp leef”"
    assert problem.remedy == "one of hemp-leaf"


def test_an_unlike_name_is_answered_with_all_that_exist():
    with pytest.raises(Refused) as refused:
        pattern("zzz", "square")
    for design in patterns("square"):
        assert design.slug in refused.value.problems[0].remedy


def test_a_pattern_of_the_other_lattice_is_refused_as_such():
    with pytest.raises(Refused, match="“well-crib” is not a pattern for a three-way lattice"):
        pattern("well-crib", "three-way")


def test_hemp_leaf_has_three_leaves_at_the_known_angles():
    """Check value G7: the jig angle of 30 degrees is common practice of the trade, the length geometry."""
    leaves = pattern("hemp-leaf").whole
    corners = cell_corners("three-way", "whole", 0, 1.0)
    centre = leaves[0].points[0]
    assert [30 * dist(*leaf.points) for leaf in leaves] == pytest.approx([17.320508] * 3, abs=1e-6)
    assert len(leaves) * 54 == 162
    for i in range(3):
        assert leaves[i].points == (centre, corners[i])
        assert angle_between(centre, corners[i], corners[i - 1]) == pytest.approx(30)
        assert angle_between(corners[i], centre, corners[i - 1]) == pytest.approx(120)


def test_hemp_leaf_in_a_half_cell_bisects_its_angles():
    leaves = pattern("hemp-leaf").half
    corners = cell_corners("three-way", "half, left hand", 0, 1.0)
    centre = leaves[0].points[0]
    around = [angle_between(centre, corners[i], corners[i - 1]) for i in range(3)]
    assert around == pytest.approx([45, 15, 30])  # half of 90, 30 and 60


def test_square_hemp_leaf_meets_at_the_incentre_of_each_half():
    """Check value G8, leg 40: the angles are common practice of the trade, the meeting point is the incentre,
    r = a(2 - sqrt 2)/2."""
    _, fork, stem, *_ = pattern("square-hemp-leaf").whole
    meeting, corner = fork.points[1], stem.points[0]
    assert stem.points[1] == meeting
    assert [40 * (0.5 - abs(at)) for at in meeting] == pytest.approx([11.715729] * 2, abs=1e-6)
    assert 40 * dist(fork.points[0], meeting) == pytest.approx(30.614675, abs=1e-6)
    assert 40 * dist(meeting, fork.points[2]) == pytest.approx(30.614675, abs=1e-6)
    assert 40 * dist(corner, meeting) == pytest.approx(16.568542, abs=1e-6)
    assert angle_between(corner, fork.points[0], meeting) == pytest.approx(22.5)
    assert angle_between(fork.points[0], corner, meeting) == pytest.approx(45)


def circle(arc: Arc) -> Polygon:
    return Point(arc.centre).buffer(arc.radius, quad_segs=2048)


def test_seven_treasures_are_circles_that_overlap_by_a_quarter():
    """Check value G9, circles of radius 1: spacing sqrt 2, lens pi/2 - 1, concave square 4 - pi, and a circle
    is four lenses and one square ("circles of one size overlapped by a quarter of the circumference",
    glossaries of pattern names)."""
    arcs = pattern("seven-treasures").whole
    radius = arcs[0].radius
    assert radius == pytest.approx(sqrt(0.5))
    own = Point(0, 0).buffer(radius, quad_segs=2048)
    square = cell_polygon("square", "whole", 0, 1.0)
    for arc in arcs:
        assert dist(arc.centre, (0, 0)) / radius == pytest.approx(1.414214, abs=1e-6)
        assert own.intersection(circle(arc)).area / radius**2 == pytest.approx(0.570796, abs=1e-5)
        square = square.difference(circle(arc))
    assert square.area / radius**2 == pytest.approx(0.858407, abs=1e-5)
    assert pytest.approx(pi, abs=1e-5) == 4 * 0.570796 + 0.858407


def test_seven_treasures_run_from_corner_to_corner_with_the_known_sagitta():
    corners = {(round(x, 9), round(y, 9)) for x, y in cell_corners("square", "whole", 0, 1.0)}
    for arc in pattern("seven-treasures").whole:
        points = arc_points(arc, scale_of("square", 1.0))
        assert {tuple(np.round(point, 9).tolist()) for point in points[[0, -1]]} <= corners
        middle = radians((arc.start_deg + arc.end_deg) / 2)
        deepest = arc.centre[0] + arc.radius * cos(middle), arc.centre[1] + arc.radius * cos(middle - pi / 2)
        assert 0.5 - max(map(abs, deepest)) == pytest.approx((sqrt(2) - 1) / 2)


def test_well_crib_bars_lie_at_the_thirds():
    bars = pattern("well-crib").whole
    assert sorted(round(bar.points[0][0] * 6, 9) for bar in bars[:2]) == [-1, 1]
    assert sorted(round(bar.points[0][1] * 6, 9) for bar in bars[2:]) == [-1, 1]


def weave_of(columns, rows):
    """The strokes of a basket weave in every cell of a patch whose opposite edges are the same line (both
    counts even), cells of side 1, as stretches between points."""
    (weave,) = pattern("basket-weave").whole
    for column in range(columns):
        for row in range(rows):
            flip = 1 if (column + row) % 2 else -1  # facing 0 or 1, a turn by 180 degrees
            points = [((column + 0.5) * sqrt(0.75) + flip * x, row / 2 + flip * y) for x, y in weave.points]
            yield from pairwise(points)


def test_basket_weave_is_the_trihexagonal_tiling():
    """Its vertices are the edges of the hexagonal tiling, joined where those meet (the tiling is the
    rectification of the hexagonal one: plane geometry): the line graph of the hexagonal lattice. Both are
    drawn on a torus, so that nothing is cut off at an edge."""
    columns, rows = 4, 8

    def node(point):
        return round(point[0] / sqrt(0.75) * 4) % (4 * columns), round(point[1] * 8) % (4 * rows)

    ours = nx.Graph((node(a), node(b)) for a, b in weave_of(columns, rows))
    theirs = nx.line_graph(nx.hexagonal_lattice_graph(rows // 2, columns, periodic=True))
    assert {degree for _, degree in ours.degree} == {4}
    crossings = columns * rows // 2
    assert (len(ours), ours.size()) == (3 * crossings, 6 * crossings)
    assert nx.is_isomorphic(ours, theirs)


def test_basket_weave_has_two_triangles_to_a_hexagon():
    """Trihexagonal tiling, vertices 3.6.3.6: triangles and hexagons two to one, counted per vertex."""
    faces = polygonize([union_all([LineString(pair) for pair in weave_of(6, 12)], grid_size=1e-9)]).geoms
    corners = {}
    for face in faces:
        sides = len(face.exterior.simplify(1e-6).coords) - 1
        assert face.length == pytest.approx(sides / 2)
        for x, y in face.exterior.coords[:-1]:
            corners.setdefault((round(x, 6), round(y, 6)), []).append(sides)
    inner = [sorted(around) for around in corners.values() if len(around) == 4]
    assert len(inner) > 50
    assert all(around == [3, 3, 6, 6] for around in inner)


def test_tortoiseshell_makes_regular_hexagons_round_the_crossings():
    """Six cells round a crossing: their centres are s/sqrt 3 away, and neighbours are joined by two strokes
    of half that length (regular hexagons joined, every corner 120 degrees: glossaries of pattern names)."""
    strokes = pattern("tortoiseshell").whole
    centre = strokes[0].points[0]
    assert [2 * dist(*stroke.points) for stroke in strokes] == pytest.approx([1 / sqrt(3)] * 3)
    assert [dist(centre, c) for c in cell_corners("three-way", "whole", 0, 1.0)] == pytest.approx(
        [1 / sqrt(3)] * 3
    )


@given(
    side=st.floats(10, 400),
    radius=st.floats(0.05, 2),
    start=st.floats(-180, 180),
    span=st.floats(10, 360),
)
def test_arcs_are_drawn_within_the_tolerance(side, radius, start, span):
    points = arc_points(
        Arc(centre=(0.3, -0.2), radius=radius, start_deg=start, end_deg=start + span),
        scale_of("square", side),
    )
    chords = LineString(points)
    centre = Point(0.3 * side, -0.2 * side)
    off_centre = np.hypot(*(points - np.array(centre.coords[0])).T)
    assert off_centre == pytest.approx(np.full(len(points), radius * side))
    middles = (points[1:] + points[:-1]) / 2
    depth = radius * side - np.hypot(*(middles - np.array(centre.coords[0])).T)
    assert depth.max() <= ARC_TOLERANCE_MM + 1e-9
    assert chords.length == pytest.approx(radians(span) * radius * side, rel=0.05)


def test_no_stroke_lies_wholly_outside_its_cell():
    for design in patterns():
        scale = scale_of(design.lattice, 1.0)
        shapes = {
            form_of(shape): shape for shape, facing in reversed(kind_of(design.lattice).shapes) if facing == 0
        }
        for form in kind_of(design.lattice).forms:
            cell = cell_polygon(design.lattice, shapes[form], 0, 1.0)
            for stroke in design.strokes(form):
                path = (
                    arc_points(stroke, scale)
                    if isinstance(stroke, Arc)
                    else np.multiply(stroke.points, scale[:2])
                )
                assert LineString(path).intersection(cell).length > 0.05, (design.slug, form, stroke)


def test_mirrored_square_cells_give_16_and_8_rays():
    """Strokes that end at a crossing, with the four strips of the lattice itself."""
    rays = {}
    for column, row in [(0, 0), (1, 0), (0, 1), (1, 1), (2, 0), (2, 1)]:
        flip = -1 if (column + row) % 2 else 1
        for stroke in pattern("square-hemp-leaf").whole:
            assert isinstance(stroke, Line)
            line = translate(LineString([(flip * x, y) for x, y in stroke.points]), column, row)
            for end in (line.coords[0], line.coords[-1]):
                rays[end] = rays.get(end, 4) + 1
    assert (rays[0.5, 0.5], rays[1.5, 0.5]) == (16, 8)


def test_whirl_leaves_a_seventh_in_the_middle():
    """Routh's theorem for thirds: a triangle of 1/7 of the area (Coxeter, Introduction to Geometry, from
    memory)."""
    for corners in (((0, 0), (3, 0), (0, 4)), ((0, 0), (1, 0), (0.5, sqrt(0.75)))):
        bars = [LineString(bar.points) for bar in whirl(corners)]
        middle = Polygon([bar.coords[1] for bar in bars])
        assert middle.area / Polygon(corners).area == pytest.approx(1 / 7)
        for bar, after in zip(bars, bars[1:] + bars[:1], strict=True):
            assert Point(bar.coords[1]).distance(after) < 1e-12


def test_rings_round_the_corners_meet_in_one_point():
    corners = ((0.0, 0.0), (3.0, 0.0), (0.0, 4.0))
    arcs = arcs_round(corners, (1.0, 1.0))  # the incentre of a triangle of sides 3, 4 and 5
    assert [arc.radius for arc in arcs] == pytest.approx([sqrt(2), sqrt(5), sqrt(10)])
    spans = [arc.end_deg - arc.start_deg for arc in arcs]
    assert spans == pytest.approx([90, degrees(atan2(4, 3)), degrees(atan2(3, 4))])


def test_patterns_are_listed_from_plain_to_dense():
    for lattice in ("three-way", "square", "diamond"):
        found = [density(p, 60.0, 3.2, 2.0, 0.15) for p in patterns(lattice)]
        assert found == sorted(found)
        assert found[0] == 0 < found[1]


def test_diamond_leaf_is_the_hemp_leaf_at_60_degrees():
    """The upright diagonals of 60 degree diamonds make them pairs of equilateral triangles."""
    x_mm, y_mm, _ = scale_of("diamond", 1.0)
    strokes = [
        LineString(np.multiply(stroke.points, (x_mm, y_mm))) for stroke in pattern("diamond-leaf").whole
    ]
    leaves = [LineString(leaf.points) for leaf in pattern("hemp-leaf").whole]
    for flip in (1, -1):
        ours = union_all([s for s in strokes[1:] if flip * s.centroid.x > 0])
        theirs = union_all(
            [translate(scaled(leaf, flip, 1, origin=(0, 0)), flip * sqrt(3) / 4) for leaf in leaves]
        )
        assert ours.hausdorff_distance(theirs) < 1e-9
