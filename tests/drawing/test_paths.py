import re

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import Point, Polygon, box

from studio.drawing.paths import TILE, relative_path, rings_path, tile_paths
from studio.drawing.rings import polygon_rings
from tests.drawing.panels import panel
from tests.drawing.reading import area_of


def test_a_square_with_a_hole_by_hand() -> None:
    rings = polygon_rings(box(0, 0, 2, 2) - box(0.5, 0.5, 1, 1))
    x, y, rest = relative_path(rings)
    assert area_of(f"M{x} {y}{rest}") == 20 * 20 - 5 * 5
    assert rest.count("z") == 2
    assert "M" not in rest


def test_a_triangle_by_hand() -> None:
    rings = polygon_rings(Polygon([(0, 0), (3, 0), (0, 4)]))
    assert area_of(rings_path(rings)) == 30 * 40 / 2
    assert relative_path(rings)[2].startswith("l")


@given(x=st.floats(-300, 300), y=st.floats(-300, 300), outer=st.floats(5, 40), share=st.floats(0.2, 0.8))
def test_relative_paths_keep_the_area_and_close(x: float, y: float, outer: float, share: float) -> None:
    ring = Point(x, y).buffer(outer) - Point(x, y).buffer(outer * share)
    start_x, start_y, rest = relative_path(polygon_rings(ring))
    # half a drawing unit along the perimeter at the most, twice: flattening and rounding
    assert area_of(f"M{start_x} {start_y}{rest}") == pytest.approx(ring.area * 100, abs=ring.length * 10)


@pytest.mark.parametrize("lattice", ["three-way", "square"])
def test_one_m_per_filled_cell_at_its_place(lattice: str) -> None:
    composed = panel(lattice, 20, 24, every_nth_open=5, border=2)  # type: ignore[arg-type]
    tiles = list(tile_paths(composed))
    filled = int((composed.piece >= 0).sum())
    assert sum(tile.data.count("M") for tile in tiles) == filled
    drawn = sum(area_of(tile.data) for tile in tiles) / 100
    true = sum(composed.pieces[p].outline.area for p in composed.piece[composed.piece >= 0])
    # a 2 mm bar at 45 degrees has its sides at 0.7071 mm, drawn at 0.7: 1 % slimmer
    assert drawn == pytest.approx(true, rel=0.015)


def test_a_path_holds_one_filament_of_one_tile() -> None:
    composed = panel("square", 20, 12, border=2)
    tiles = list(tile_paths(composed))
    keys = [(tile.tile, tile.filament) for tile in tiles]
    assert len(set(keys)) == len(keys)
    assert {tile.tile for tile in tiles} == {(c, r) for c in range(3) for r in range(2)}
    for tile in tiles:
        places = np.array(re.findall(r"M(-?\d+) (-?\d+)", tile.data), dtype=int)
        assert (places // 440 // TILE)[:, 0].tolist() == [tile.tile[0]] * len(places)
        of_filament = (composed.filament == tile.filament) & (composed.piece >= 0)
        in_tile = (composed.column // TILE == tile.tile[0]) & (composed.row // TILE == tile.tile[1])
        assert len(places) == int((of_filament & in_tile).sum())


def test_an_empty_panel_has_no_paths() -> None:
    assert list(tile_paths(panel(every_nth_open=1))) == []
