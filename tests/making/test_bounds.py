"""Fewest plates, worked out by hand, and never above what the plates are."""

from math import sqrt

import pytest
import shapely
from hypothesis import given, settings
from shapely.affinity import rotate, translate

from studio.lattice.part import Part
from studio.making.bounds import plate_bounds
from studio.making.plates import plates_for
from tests.making.made import INDIGO, TEA, part, printer, recipe, slab, triangle
from tests.making.test_plates import LARGE, PARTS, SMALL


def bounds(parts: list[Part], *printers) -> list[tuple[int, int, str]]:  # type: ignore[no-untyped-def]
    plates = plates_for(parts, printers, [TEA, INDIGO])
    found = plate_bounds(plates, parts, printers, [TEA, INDIGO])
    return [(each.plates, each.bound, each.limit) for each in found]


def test_the_bed_limits_what_is_small() -> None:
    # Squares of 57 with a gap of 3 on 246 + 3: (57^2 + 4 x 57 x 1.5 + pi 1.5^2) / 249^2 = 0.0580; 34 of them
    # are 1.97 beds by area, and 16 a bed in rows.
    assert bounds([part(slab(57, 57), 34)], printer()) == [(3, 2, "bed")]


def test_pieces_over_half_a_bed_lie_alone() -> None:
    # 2 x (130 + 3) > 246 + 3 both ways round, though its area is a quarter of the bed.
    assert bounds([part(slab(130, 130), 5)], printer()) == [(5, 5, "large pieces")]
    assert bounds([part(slab(230, 110), 4)], printer()) == [(2, 2, "bed")]


def test_the_longest_run_limits_what_takes_long() -> None:
    short = printer(longest_run_minutes=120)
    ((plates, bound, limit),) = bounds([part(slab(12, 12), 200, depth_mm=20)], short)
    assert limit == "longest run"
    assert bound <= plates <= bound + 1


def test_a_spool_limits_what_is_heavy() -> None:
    # 380 g each (100 x 100 x 380 / 12.4 mm3 at 1.24 g/cm3): 14 are 5320 g, 6 spools; two on a plate.
    block = part(slab(100, 100), 14, depth_mm=380 / 12.4)
    solid = printer(longest_run_minutes=20_000, recipe=recipe(core_density=1))
    assert bounds([block], solid) == [(7, 6, "spool")]


def test_pieces_that_lie_in_each_other_share_a_bed() -> None:
    """Two on one bed, as the geometry library finds them apart: no bound may say that it takes two beds.
    A triangle of 150, and one turned over beside it 3.1 away; a slab in the opening of a frame."""
    first = shapely.Polygon(triangle(150))
    turned = rotate(first, 180, origin=(75 * sqrt(3) / 2, 225 / 2))  # about the middle of its upper side
    _apart_on_a_bed(first, translate(turned, 3.1 / 2, 3.1 * sqrt(3) / 2))
    assert bounds([part(first, 4, nests="triangle")], printer()) == [(2, 1, "bed")]
    frame, inside = shapely.box(0, 0, 230, 230) - shapely.box(15, 15, 215, 215), shapely.box(0, 0, 190, 190)
    _apart_on_a_bed(frame, translate(inside, 20, 20))
    assert [bound for _, bound, _ in bounds([part(frame, 1), part(inside, 1)], printer())] == [1]


def _apart_on_a_bed(first: shapely.Polygon, second: shapely.Polygon) -> None:
    left, bottom, right, top = shapely.union(first, second).bounds
    assert first.distance(second) >= 3 - 1e-9
    assert max(right - left, top - bottom) <= 246


@settings(max_examples=25)
@given(PARTS)
def test_no_plan_beats_the_bound(parts: list[Part]) -> None:
    assert all(bound <= plates for plates, bound, _ in bounds(parts, SMALL, LARGE))


@pytest.mark.parametrize("count", [120, 600])
def test_equal_triangles_come_near_the_bound(count: int) -> None:
    # 60 a bed (see test_packing) where area allows 246 + 3 squared over 876: 70.
    ((plates, bound, limit),) = bounds(
        [part(shapely.Polygon(triangle(40)), count, nests="triangle")], printer()
    )
    assert (plates, limit) == (count // 60, "bed")
    assert plates <= 1.15 * bound or plates == bound + 1
