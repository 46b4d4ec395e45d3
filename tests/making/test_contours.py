"""Walls, against offsets that can be drawn on paper."""

from math import pi, sqrt

import numpy as np
import pytest
import shapely

from studio.making.contours import contours_of
from studio.problem import Refused
from tests.making.made import face, hexagon, plate_with_holes, slab, triangle


def test_two_walls_of_a_slab() -> None:
    # 20 x 10, bead 1, lines 1 apart: centre lines at 0.5 and 1.5, inside from 2.
    found = contours_of(slab(20, 10), 1, 1, 2)
    assert [wall.total_mm for wall in found.walls] == pytest.approx([2 * (19 + 9), 2 * (17 + 7)])
    assert sorted(found.walls[0].lengths_mm) == pytest.approx([9, 9, 19, 19])
    assert (found.inside_mm2, found.inside_perimeter_mm, found.boundaries) == pytest.approx((96, 44, 1))


def test_mitred_inward_offset_of_a_triangle() -> None:
    # Side 30 by 2: side 23.071797, area 230.496041 (a - 2 sqrt(3) t; plane geometry).
    found = contours_of(face(triangle(30)), 2, 1, 1)  # inside from 1 + 0.5
    smaller = 30 - 2 * sqrt(3) * 1.5
    assert found.inside_mm2 == pytest.approx(sqrt(3) / 4 * smaller**2)
    assert contours_of(face(triangle(30)), 4, 4, 1).walls[0].total_mm == pytest.approx(3 * 23.071797)


def test_a_ring_has_walls_on_both_sides() -> None:
    ring = shapely.box(0, 0, 30, 30).difference(shapely.box(10, 10, 20, 20))
    found = contours_of(face(ring), 1, 1, 2)
    assert [wall.total_mm for wall in found.walls] == pytest.approx([4 * 29 + 4 * 11, 4 * 27 + 4 * 13])
    assert [wall.loops for wall in found.walls] == [2, 2]
    assert found.inside_mm2 == pytest.approx(26**2 - 14**2)
    assert found.inside_perimeter_mm == pytest.approx(4 * 26 + 4 * 14)


def test_walls_end_where_they_meet() -> None:
    # A strip 3.2 wide: centre lines at 0.5 and 1.5 from either side, none at 2.5; nothing is left inside.
    found = contours_of(slab(50, 3.2), 1, 1, 5)
    assert len(found.walls) == 2
    assert (found.inside_mm2, found.inside_perimeter_mm) == (0, 0)


def test_a_strip_thinner_than_a_bead_is_refused() -> None:
    with pytest.raises(Refused, match="thinner than a bead of 1 mm"):
        contours_of(slab(50, 0.9), 1, 1, 2)


@pytest.mark.parametrize(("hole", "walls"), [(20, 1), (20, 2), (20, 3), (24, 2), (26, 2)])
def test_counted_holes_give_what_the_whole_plate_gives(hole: float, walls: int) -> None:
    whole, counted = plate_with_holes(130, hole, 4)
    drawn, found = contours_of(face(whole), 0.45, 0.407, walls), contours_of(counted, 0.45, 0.407, walls)
    assert [wall.total_mm for wall in found.walls] == pytest.approx([wall.total_mm for wall in drawn.walls])
    assert [wall.loops for wall in found.walls] == [17] * len(found.walls)
    assert found.inside_mm2 == pytest.approx(drawn.inside_mm2)
    assert found.inside_perimeter_mm == pytest.approx(drawn.inside_perimeter_mm)
    assert found.boundaries == drawn.boundaries == 17


def test_walls_of_counted_holes_end_where_strips_are_full() -> None:
    # Four holes of 24 in 100 leave strips of 0.8: the second wall's centre lines have passed each other.
    whole, counted = plate_with_holes(100, 24, 4)
    assert (
        len(contours_of(counted, 0.45, 0.407, 3).walls)
        == len(contours_of(face(whole), 0.45, 0.407, 3).walls)
        == 1
    )
    assert contours_of(counted, 0.45, 0.407, 3).inside_mm2 == 0


def test_a_curve_is_one_run_and_a_corner_ends_one() -> None:
    angles = np.linspace(0, 2 * pi, 72, endpoint=False)
    circle = shapely.Polygon(np.column_stack((np.cos(angles), np.sin(angles))) * 20)
    assert len(contours_of(face(circle), 0.45, 0.4, 1).walls[0].lengths_mm) == 1
    assert contours_of(face(hexagon(20)), 0.45, 0.4, 1).walls[0].lengths_mm == pytest.approx(
        [20 - 0.45 / sqrt(3)] * 6
    )
    half = shapely.Polygon([(0, 0), *zip(20 * np.cos(angles[:37]), 20 * np.sin(angles[:37]), strict=True)])
    assert len(contours_of(face(half), 0.45, 0.4, 1).walls[0].lengths_mm) == 2  # the arc and the diameter
