"""Where pieces lie, against the same turned and moved by shapely."""

import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Polygon

from studio.lattice.part import Part
from studio.making.plate import placed
from tests.making.made import part, plate_with_holes
from tests.making.test_packing import SHAPES, packed
from tests.making.test_packing import placed as placed_by_hand


@settings(max_examples=30)
@given(st.lists(SHAPES, min_size=1, max_size=3), st.sampled_from([0.5, 3]))
def test_as_turned_and_moved_by_hand(parts: list[Part], gap: float) -> None:
    runs = packed(parts, 200, 120, gap)
    found = [Polygon(rings[0]) for run in runs for rings in placed(run, parts[run.part].face)]
    for shape, expected in zip(found, placed_by_hand(parts, runs), strict=True):
        assert shapely.hausdorff_distance(shape, expected) < 1e-6


def test_holes_lie_within_and_counted_ones_nowhere() -> None:
    ring = shapely.box(0, 0, 30, 20).difference(shapely.box(2, 3, 10, 12))
    (run,) = packed([part(ring, 1)], 100, 100, 3)
    (rings,) = placed(run, part(ring, 1).face)
    assert Polygon(rings[0], rings[1:]).area == ring.area
    _, counted = plate_with_holes(60, 10, 3)
    (run,) = packed([part(counted, 1)], 100, 100, 3)
    assert [len(rings) for rings in placed(run, counted)] == [1]
