import numpy as np
import shapely
from hypothesis import given

from studio.lattice.cells import cells_of
from studio.lattice.design import Alternating
from tests.lattice.cast import OPEN, STAR, fit_of, small_fits
from tests.lattice.laid import centroids, grid, laid
from tests.lattice.test_cells import polygons

ALTERNATING = Alternating(first=STAR, second=OPEN)


@given(small_fits)
def test_neighbours_always_differ(fit):
    """Half and quarter cells among them."""
    infill, cells = laid(ALTERNATING, fit).infill, list(polygons(fit).values())
    grown = shapely.buffer(cells, 1e-6)
    near, other = shapely.STRtree(cells).query(grown, predicate="intersects")
    shared = shapely.length(shapely.intersection(grown[near], np.array(cells)[other]))
    beside = (near != other) & (shared > fit.cell_side_mm / 4)
    assert beside.any()
    assert (infill[near[beside]] != infill[other[beside]]).all()


def test_the_first_is_for_the_straight_side_on_the_left():
    """There the centroid lies to the left of the middle of the column; turned, below that of the row."""
    fit, turned = fit_of("three-way", 5, 6), fit_of("three-way turned", 6, 5)
    left = [x < middle for (x, _), middle in zip(centroids(fit), cells_of(fit).x, strict=True)]
    below = [y < middle for (_, y), middle in zip(centroids(turned), cells_of(turned).y, strict=True)]
    assert (laid(ALTERNATING, fit).infill == np.where(left, 0, 1)).all()
    assert (laid(ALTERNATING, turned).infill == np.where(below, 0, 1)).all()


def test_diamonds_are_a_chequerboard():
    assert grid(ALTERNATING, fit_of("diamond", 2, 1)) == [
        [1, -1, 1, -1, 1],
        [-1, 0, -1, 0, -1],
        [1, -1, 1, -1, 1],
    ]
