import re

import numpy as np
import pytest
from shapely import Polygon, box

from studio.drawing.paths import TILE, outline_path, piece_path, tile_paths
from studio.lattice.cells import cells_of
from studio.lattice.composition import Piece
from tests.drawing.panels import panel
from tests.drawing.reading import area_of, rings_of


def path(outline: Polygon) -> tuple[int, int, str]:
    return piece_path(Piece("p", "P", "whole", 0, "p, whole", outline, False, "crush rib"))


def test_a_square_with_a_hole_by_hand() -> None:
    x, y, rest = path(box(0, 0, 2, 2) - box(0.5, 0.5, 1, 1))
    assert area_of(f"M{x} {y}{rest}") == 2000 * 2000 - 500 * 500
    assert rest.count("z") == 2
    assert "M" not in rest


def test_a_triangle_by_hand() -> None:
    assert area_of(outline_path([Polygon([(0, 0), (3, 0), (0, 4)])])) == 3000 * 4000 / 2
    assert path(Polygon([(0, 0), (3, 0), (0, 4)])) == (0, -4000, "l0 4000 3000 0z")


def test_a_piece_is_put_into_words_once() -> None:
    piece = Piece("p", "P", "whole", 0, "p, whole", box(0, 0, 2, 2), False, "crush rib")
    assert piece_path(piece) is piece_path(piece)


def drawn_boxes(tiles) -> np.ndarray:  # type: ignore[no-untyped-def]
    rings = [rings_of(f"M{each}")[0] for tile in tiles for each in tile.data.split("M")[1:]]
    return np.array([[*ring.min(axis=0), *ring.max(axis=0)] for ring in rings])


def true_boxes(composed) -> np.ndarray:  # type: ignore[no-untyped-def]
    """Of every piece where its cell lies, in drawing units, y down."""
    filled, high = composed.piece >= 0, composed.fit.lattice_height_mm
    cells = cells_of(composed.fit)
    bounds = np.array([composed.pieces[p].outline.bounds for p in composed.piece[filled]])
    x, y = cells.x[filled], cells.y[filled]
    left, low, right, top = bounds.T + np.array([x, y, x, y])
    return 1000 * np.column_stack((left, high - top, right, high - low))


@pytest.mark.parametrize("lattice", ["three-way", "square"])
def test_one_m_per_filled_cell_at_its_place(lattice: str) -> None:
    composed = panel(lattice, 20, 24, every_nth_open=5, border=2)  # type: ignore[arg-type]
    tiles = list(tile_paths(composed))
    filled = int((composed.piece >= 0).sum())
    assert sum(tile.data.count("M") for tile in tiles) == filled
    drawn = sum(area_of(tile.data) for tile in tiles) / 1000**2
    true = sum(composed.pieces[p].outline.area for p in composed.piece[composed.piece >= 0])
    assert drawn == pytest.approx(true, rel=0.0005)
    off = np.abs(drawn_boxes(tiles)[:, None] - true_boxes(composed)).max(axis=2)
    assert off.min(axis=1).max() < 2  # thousandths of a mm
    assert sorted(off.argmin(axis=1)) == list(range(filled))


def test_a_path_holds_one_filament_of_one_tile() -> None:
    composed = panel("square", 20, 12, border=2)
    tiles = list(tile_paths(composed))
    keys = [(tile.tile, tile.filament) for tile in tiles]
    assert len(set(keys)) == len(keys)
    assert {tile.tile for tile in tiles} == {(c, r) for c in range(3) for r in range(2)}
    for tile in tiles:
        places = np.array(re.findall(r"M(-?\d+) (-?\d+)", tile.data), dtype=int)
        assert (places // 44_000 // TILE)[:, 0].tolist() == [tile.tile[0]] * len(places)
        of_filament = (composed.filament == tile.filament) & (composed.piece >= 0)
        in_tile = (composed.column // TILE == tile.tile[0]) & (composed.row // TILE == tile.tile[1])
        assert len(places) == int((of_filament & in_tile).sum())


def test_an_empty_panel_has_no_paths() -> None:
    assert list(tile_paths(panel(every_nth_open=1))) == []
