"""Rows on a bed, against counts that can be proven and against the pieces as they really lie."""

from math import cos, floor, pi, radians, sin, sqrt

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Polygon
from shapely.affinity import rotate, translate

from studio.lattice.part import Part
from studio.making.packing import Batch, Lie, PartRun, lies_of, rows
from tests.making.made import hexagon, part, rhombus, right_triangle, triangle

ENDLESS = 10_000


def packed(parts: list[Part], width: float, depth: float, gap: float) -> list[PartRun]:
    kinds = [Batch(i, lies_of(p, width, depth, gap), p.count) for i, p in enumerate(parts)]
    return rows(kinds, width, depth, gap, lambda _, wanted: wanted)


def placed(parts: list[Part], runs: list[PartRun]) -> list[Polygon]:
    """Every piece where its run says that it lies, turned by hand."""
    shapes = []
    for run in runs:
        face = parts[run.part].face
        drawn = rotate(Polygon(face.rings[0].points), run.lie.turn_degrees)
        for index, (left, low) in enumerate(run.corners_mm()):
            shape = rotate(drawn, 180 * (index % 2), origin=shapely.box(*drawn.bounds).centroid)
            low_x, low_y, _, _ = shape.bounds
            shapes.append(translate(shape, left - low_x, low - low_y))
    return shapes


def assert_apart(shapes: list[Polygon], width: float, depth: float, gap: float) -> None:
    """On the bed, and no two nearer than the gap."""
    left, low, right, high = shapely.total_bounds(shapes)
    assert left >= -1e-6
    assert low >= -1e-6
    assert right <= width + 1e-5
    assert high <= depth + 1e-5
    tree = shapely.STRtree(shapes)
    first, second = tree.query(shapes, predicate="dwithin", distance=gap - 1e-5)
    if gap > 1e-5:
        assert set(zip(first, second, strict=True)) == {(i, i) for i in range(len(shapes))}
    assert shapely.union_all(shapes).area == pytest.approx(sum(shape.area for shape in shapes), rel=1e-6)


@pytest.mark.parametrize(
    ("width", "height", "gap", "count"), [(100, 60, 0, 8), (30, 30, 5, 49), (256, 256, 9, 1)]
)
def test_equal_rectangles_on_a_square_plate(width: int, height: int, gap: int, count: int) -> None:
    # floor((W + g) / (w + g)) floor((H + g) / (h + g)) on 256 x 256, common practice, no source; area allows
    # 10 of the first.
    runs = packed([part(shapely.box(0, 0, width, height), ENDLESS)], 256, 256, gap)
    assert sum(run.count for run in runs) == count


@given(
    st.integers(20, 300), st.integers(20, 300), st.integers(5, 100), st.integers(5, 100), st.integers(0, 10)
)
def test_rectangles_go_the_better_way_round(width: int, depth: int, across: int, up: int, gap: int) -> None:
    def by_formula(w: int, h: int) -> int:
        return floor((width + gap) / (w + gap)) * floor((depth + gap) / (h + gap))

    runs = packed([part(shapely.box(0, 0, across, up), ENDLESS)], width, depth, gap)
    assert sum(run.count for run in runs) >= max(by_formula(across, up), by_formula(up, across))


def lies(shape: Polygon, gap: float = 3, nests: str = "triangle", bed: float = 246) -> tuple[Lie, ...]:
    return lies_of(part(shape, 1, nests=nests), bed, bed, gap)


@pytest.mark.parametrize(("side", "gap"), [(40, 0), (40, 3), (25, 2)])
def test_triangles_lie_in_alternate_pairs(side: float, gap: float) -> None:
    # A triangle moves the row on by half its side and, between slanted sides g apart, by 2 g / sqrt(3).
    lie = next(lie for lie in lies(triangle(side), gap) if not lie.rise_mm and lie.turn_degrees == 90)
    step = side / 2 + 2 * gap / sqrt(3)
    assert (lie.width_mm, lie.height_mm) == pytest.approx((side, side * sqrt(3) / 2))
    assert lie.steps_mm == pytest.approx((step, step))
    assert lie.fitting(246) == 1 + floor((246 - side) / step)
    assert lie.fitting(side - 0.1) == 0


def test_raised_triangles_tile_with_their_gap() -> None:
    # Grown by half the gap with mitred corners, side 40 becomes 40 + sqrt(3) gap = 45.196, and such triangles
    # tile: half a side along the row, the height 39.141 from row to row. The grown corner stands 2 x 1.5
    # above the real one and the grown base 1.5 below the real base: every second one is raised by 1.5.
    side = 40 + 3 * sqrt(3)
    raised = next(lie for lie in lies(triangle(40)) if abs(lie.rise_mm) > 1e-6)
    assert abs(raised.rise_mm) == pytest.approx(1.5)
    assert raised.steps_mm == pytest.approx((side / 2, side / 2))
    assert raised.row_mm + 3 == pytest.approx(side * sqrt(3) / 2)


def test_the_better_way_is_taken_for_each_bed() -> None:
    # Level: 1 + floor(206 / 23.464) = 9 in a row, floor(249 / 37.641) = 6 rows. Raised: 10, as
    # 1 + floor(206 / 22.598), and floor(249 / 39.141) = 6 rows.
    best = lies(triangle(40))[0]
    assert best.on_bed(246, 246, 3) == 60
    assert max(lie.on_bed(246, 246, 3) for lie in lies(triangle(40)) if not lie.rise_mm) == 54


def test_a_row_of_triangles_fills_most_of_what_it_spans() -> None:
    # 11 triangles of 40 without gaps: 11 half sides and one, times the height: 11 / 12 of it.
    lie = lies(triangle(40), 0)[0]
    assert lie.fitting(246) == 11
    assert 11 * triangle(40).area / (lie.run_mm(11) * lie.height_mm) == pytest.approx(11 / 12)


@pytest.mark.parametrize("side", [20, 25, 30, 36.4, 40, 44])
@pytest.mark.parametrize("bed", [246, 340])
def test_triangles_fill_85_per_cent_of_the_bed_that_they_span(side: float, bed: float) -> None:
    # Gaps counted: each grown by half the gap with round corners (A + P r + pi r^2, Steiner), and what they
    # span by as much all round.
    runs = packed([part(triangle(side), ENDLESS, nests="triangle")], bed, bed, 3)
    grown = triangle(side).area + 3 * side * 1.5 + pi * 1.5**2
    wide = max(run.lie.run_mm(run.count) for run in runs)
    high = runs[-1].y_mm + runs[-1].lie.row_mm
    assert sum(run.count for run in runs) * grown / ((wide + 3) * (high + 3)) >= 0.85


def test_halves_of_triangles_pair_along_their_long_side() -> None:
    # 30, 60, 90 degrees, legs 20 sqrt(3) and 20, gap 3: along the long leg a pair's slanted sides are 3 / sin
    # 30 = 6 apart along the row, then upright sides 3.
    legs = (20 * sqrt(3), 20.0)
    found = lies(right_triangle(40))
    upright = next(lie for lie in found if lie.turn_degrees == 0 and not lie.rise_mm)
    assert (upright.width_mm, upright.height_mm) == pytest.approx(legs)
    assert sorted(upright.steps_mm) == pytest.approx([6.0, legs[0] + 3])


@pytest.mark.parametrize("degrees", [45, 60, 75])
@pytest.mark.parametrize("gap", [0, 3])
def test_rhombi_lie_in_sheared_rows(degrees: float, gap: float) -> None:
    # On one of its sides a rhombus of side a is a (1 + cos) wide and a sin high, and the next lies
    # a + gap / sin further on.
    sine, cosine = sin(radians(degrees)), cos(radians(degrees))
    sheared = next(
        lie for lie in lies(rhombus(40, degrees), gap, "rhombus") if lie.height_mm == pytest.approx(40 * sine)
    )
    assert sheared.width_mm == pytest.approx(40 * (1 + cosine))
    assert sheared.steps_mm == pytest.approx([40 + gap / sine] * 2)
    count = (1 + floor((246 - sheared.width_mm) / (40 + gap / sine))) * floor((246 + gap) / (40 * sine + gap))
    assert lies(rhombus(40, degrees), gap, "rhombus")[0].on_bed(246, 246, gap) >= count


def test_rhombi_fill_more_than_their_boxes_do() -> None:
    # Diagonals 40 and 69.28 upright: floor(249 / 43) floor(249 / 72.28) = 15 boxes.
    assert lies(rhombus(40, 60), 3, "rhombus")[0].on_bed(246, 246, 3) > 15
    assert lies(rhombus(40, 60), 3, "box")[0].on_bed(246, 246, 3) == 15


def test_nine_squares_of_a_perfect_rectangle_stay_on_their_plate() -> None:
    # Simple perfect squared rectangle 33 x 32, Bouwkamp code (9,10,14)(8,1)(7,4)(18)(15). Rows need not find
    # it: nothing may overlap or lie over the edge.
    parts = [part(shapely.box(0, 0, side, side), 1) for side in (18, 15, 14, 10, 9, 8, 7, 4, 1)]
    shapes = placed(parts, packed(parts, 33, 32, 0))
    assert_apart(shapes, 33, 32, 0)
    assert sum(shape.area for shape in shapes) <= 33 * 32
    assert len(shapes) == 5  # 18 + 15 in the first row, 14 + 10 + 9 in the second: 32 high, full


def test_a_row_with_room_takes_lower_pieces() -> None:
    parts = [part(shapely.box(0, 0, 60, 50), 3), part(shapely.box(0, 0, 24, 40), 2)]
    runs = packed(parts, 220, 52, 5)
    assert [(run.part, run.count, run.x_mm, run.y_mm) for run in runs] == [(0, 3, 0, 0), (1, 1, 195, 0)]
    assert_apart(placed(parts, runs), 220, 52, 5)


def test_nothing_too_large_lies_on_a_bed() -> None:
    assert lies_of(part(shapely.box(0, 0, 247, 10), 1), 246, 246, 3) == ()
    assert len(lies_of(part(shapely.box(0, 0, 246, 10), 1), 246, 100, 3)) == 1  # one way only


def test_parts_that_lengths_from_floats_just_fit() -> None:
    assert Lie(0.1 + 0.2, 1, (0.3, 0.3)).fitting(0.3) == 1


SHAPES = st.builds(
    lambda kind, size: {
        "triangle": part(triangle(size), ENDLESS, nests="triangle"),
        "half": part(right_triangle(size), ENDLESS, nests="triangle"),
        "hexagon": part(hexagon(size / 2), ENDLESS, nests="triangle"),
        "rhombus": part(rhombus(size, 60), ENDLESS, nests="rhombus"),
        "steep": part(rhombus(size, 37), ENDLESS, nests="rhombus"),
        "isosceles": part(Polygon([(0, 0), (size, 0), (size / 2, 1.4 * size)]), ENDLESS, nests="triangle"),
        "kite": part(Polygon([(0, 0), (size, 0.3 * size), (0.7 * size, size)]), ENDLESS, nests="triangle"),
        "box": part(shapely.box(0, 0, size, size / 3), ENDLESS),
    }[kind],
    st.sampled_from(["triangle", "half", "hexagon", "kite", "box", "rhombus", "steep", "isosceles"]),
    st.integers(12, 60),
)


@settings(max_examples=60)
@given(
    st.lists(SHAPES, min_size=1, max_size=3),
    st.integers(60, 250),
    st.integers(60, 250),
    st.sampled_from([0.5, 2, 3, 8]),
)
def test_no_two_pieces_overlap_and_none_is_over_the_edge(
    parts: list[Part], width: int, depth: int, gap: float
) -> None:
    runs = packed(parts, width, depth, gap)
    shapes = placed(parts, runs)
    if shapes:
        assert_apart(shapes, width, depth, gap)
    assert len(shapes) == sum(run.count for run in runs)


@pytest.mark.parametrize("turn", [0, 17, 90])
def test_next_to_no_gap_is_no_gap(turn: float) -> None:
    """Growing a shape by less than its coordinates resolve leaves nothing of it."""
    drawn = part(rotate(right_triangle(40), turn), 1, nests="triangle")
    assert lies_of(drawn, 246, 246, 1e-30) == lies_of(drawn, 246, 246, 0)
