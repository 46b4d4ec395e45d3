import numpy as np
import pytest
from shapely import Polygon

from studio.lattice.face import face_of_polygon, rectangle
from studio.lattice.part import spares_for


def test_a_polygon_with_a_hole():
    """40 x 20 with a hole of 10 x 10: 700."""
    face = face_of_polygon(
        Polygon([(5, 5), (45, 5), (45, 25), (5, 25)], [[(10, 10), (20, 10), (20, 20), (10, 20)]])
    )
    assert (face.area_mm2, face.width_mm, face.height_mm) == (700, 40, 20)
    assert [ring.hole for ring in face.rings] == [False, True]
    assert face.rings[0].points.tolist() == [[0, 0], [40, 0], [40, 20], [0, 20]]


def test_equal_faces_share_a_digest():
    moved = face_of_polygon(Polygon([(1, 1), (4, 1), (4, 3), (1, 3)]))
    assert moved.digest == rectangle(3, 2).digest
    assert rectangle(3, 2).digest != rectangle(3, 2.01).digest


def test_faces_that_are_only_nearly_equal_do_not_share_what_is_made_of_them():
    assert rectangle(3, 2).digest != rectangle(np.nextafter(3.0, 4.0), 2).digest


def test_points_are_read_only():
    with pytest.raises(ValueError, match="read-only"):
        np.add(1, 1, out=rectangle(3, 2).rings[0].points)


@pytest.mark.parametrize(
    ("count", "percent", "spares"), [(1, 0, 1), (50, 2, 1), (51, 2, 2), (300, 7, 21), (700, 0.7, 5)]
)
def test_spares(count, percent, spares):
    assert spares_for(count, percent) == spares
