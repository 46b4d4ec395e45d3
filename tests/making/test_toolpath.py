"""Seconds and volume of parts, against toolpaths worked out by hand and against lines that are really
drawn."""

from math import pi, sqrt

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from shapely.affinity import rotate

from studio.making.bead import spacing_mm
from studio.making.contours import contours_of
from studio.making.motion import move_seconds
from studio.making.toolpath import load_of
from tests.making.made import face, hexagon, plate_with_holes, recipe, slab, triangle

STEADY = recipe(
    outer_wall_mm_s=100,
    inner_wall_mm_s=100,
    fill_mm_s=100,
    travel_mm_s=100,
    first_layer_mm_s=100,
    corner_mm_s=100,
    max_flow_mm3_s=100,
    retraction_s=0.5,
    core_density=0.2,
    bottom_layers=1,
    top_layers=1,
)
"""Everything at 100 mm/s, through corners too: seconds are millimetres over 100."""
S = spacing_mm(0.45, 0.20)  # 0.40708


def test_a_plain_slab_by_hand() -> None:
    load = load_of(slab(20, 10), 1.0, STEADY)
    # Walls at 0.225 and 0.63208 from the edge; the inside begins at 0.83562: 18.32876 x 8.32876 = 152.6558
    # mm2. Walls and the gaps between them fill 200 - 152.6558 = 47.3442 mm2, 116.302 mm of line at 0.40708.
    # Fill: 152.6558 / 0.40708 = 375.002 mm in lines of pi 152.6558 / 53.31504 = 8.99528 mm, so 41.6887 lines
    # and turns of 0.40708. Travel: 2 hops of sqrt(200) = 14.1421 mm with 0.5 s, one step of 0.40708 between
    # the walls.
    length = 116.302 + 375.002 + 41.6887 * 0.40708
    travel = 2 * (0.5 + 0.141421) + 0.0040708
    assert load.seconds.shape == (5,)
    assert load.seconds[[0, 4]] == pytest.approx(length / 100 + travel, abs=1e-4)
    # Core at 0.2: a fifth of the lines, turns five times as long.
    core = 116.302 + 75.0004 + 41.6887 / 5 * (5 * 0.40708)
    assert load.seconds[1:4] == pytest.approx(core / 100 + travel, abs=1e-4)
    assert load.volume_mm3 == pytest.approx(2 * 0.2 * 200 + 3 * 0.2 * (47.3442 + 0.2 * 152.6558), abs=1e-3)


def test_a_square_ring_by_hand() -> None:
    # 30 outside, 26.8 inside: a strip of 1.6 holds two walls a side (1.66 by their beads), nothing is left
    # inside.
    ring = shapely.box(0, 0, 30, 30).difference(shapely.box(1.6, 1.6, 28.4, 28.4))
    load = load_of(face(ring), 0.2, STEADY)
    area = 900 - 26.8**2
    hop = 0.5 + sqrt(900 / 2) / 100
    assert load.seconds == pytest.approx([area / S / 100 + 2 * hop + 2 * S / 100], abs=1e-4)
    assert load.volume_mm3 == pytest.approx(area * 0.2)


def test_a_solid_hexagonal_plate_weighs_its_volume() -> None:
    # Side 50, thickness 4, PLA 1.24 g/cm3: 25 980.762 mm3, 32.2161 g (area 3 sqrt(3) / 2 a^2, plane
    # geometry).
    load = load_of(face(hexagon(50)), 4.0, recipe(core_density=1))
    assert load.volume_mm3 == pytest.approx(25_980.762, abs=1e-3)
    assert load.mass_g(1.24) == pytest.approx(32.2161, abs=1e-3)
    assert load.seconds.shape == (20,)


@given(st.integers(4, 60), st.floats(0.3, 30), st.integers(1, 6), st.sampled_from([0.2, 0.28]))
def test_every_solid_piece_weighs_its_volume(side: int, depth: float, walls: int, first: float) -> None:
    load = load_of(face(triangle(side)), depth, recipe(core_density=1, walls=walls, first_layer_mm=first))
    assert load.volume_mm3 == pytest.approx(sqrt(3) / 4 * side**2 * depth)


@given(st.integers(4, 60), st.floats(0.0, 1.0))
def test_a_core_saves_plastic_and_time(side: int, density: float) -> None:
    its_face = slab(side, side)
    solid = load_of(its_face, 4.0, recipe(core_density=1))
    open_core = load_of(its_face, 4.0, recipe(core_density=density))
    assert open_core.volume_mm3 <= solid.volume_mm3 * (1 + 1e-12)
    assert open_core.seconds.sum() <= solid.seconds.sum() * (1 + 1e-12)


def _drawn_seconds(shape: shapely.Polygon, angle: float) -> float:
    """Fill of a shape with real lines, one line spacing apart, by the default recipe."""
    turned = rotate(shape, angle)
    left, low, right, high = turned.bounds
    heights = np.arange(low + S / 2, high, S)
    lines = shapely.intersection(
        [shapely.LineString([(left - 1, y), (right + 1, y)]) for y in heights], turned
    )
    lengths = shapely.length(shapely.get_parts(lines))
    r = recipe()
    turns = move_seconds(np.full(len(lengths), S), r.fill_mm_s, r.acceleration_mm_s2, r.corner_mm_s)
    return float((move_seconds(lengths, r.fill_mm_s, r.acceleration_mm_s2, r.corner_mm_s) + turns).sum())


@pytest.mark.parametrize(
    ("shape", "within"),
    [
        (shapely.box(0, 0, 20, 10), 0.05),
        (shapely.box(0, 0, 200, 200), 0.05),
        (triangle(40), 0.05),
        (plate_with_holes(130, 20, 4)[0], 0.05),
    ],
)
def test_fill_by_area_agrees_with_fill_lines_that_are_drawn(shape: shapely.Polygon, within: float) -> None:
    r = recipe()
    inside = shape.buffer(-(0.225 + 1.5 * S), join_style="mitre")
    drawn = np.mean([_drawn_seconds(inside, angle) for angle in (45, 135)])
    found = contours_of(face(shape), r.bead_mm, S, r.walls)
    chord = pi * found.inside_mm2 / found.inside_perimeter_mm
    moves = move_seconds([chord, S], r.fill_mm_s, r.acceleration_mm_s2, r.corner_mm_s).sum()
    assert found.inside_mm2 / S / chord * moves == pytest.approx(drawn, rel=within)


def test_the_first_layer_is_slower() -> None:
    load = load_of(slab(100, 100), 4.0, recipe(first_layer_mm_s=20))
    assert load.seconds[0] > 3 * load.seconds[1]
    assert load.seconds[1] == load.seconds[-1]  # bottom and top are both solid


def test_melting_caps_every_speed() -> None:
    # 1 mm3/s through 0.0814159 mm2 is 12.2826 mm/s: a slab's 10 000 mm2 need at least 10 000 x 0.2 mm3 a
    # layer.
    slow = load_of(slab(100, 100), 4.0, recipe(max_flow_mm3_s=1))
    assert slow.seconds[1] > 2000
    assert slow.seconds[1] == pytest.approx(2000, rel=0.05)


def test_layers_above_the_last_whole_one_are_thinner() -> None:
    load = load_of(slab(10, 10), 0.5, recipe(core_density=1))
    assert load.seconds.shape == (3,)
    assert load.volume_mm3 == pytest.approx(50)


def test_without_solid_layers_all_is_core() -> None:
    load = load_of(slab(20, 10), 1.0, recipe(bottom_layers=0, top_layers=0, core_density=0))
    assert load.volume_mm3 == pytest.approx(47.3442, abs=1e-3)  # walls only, 1 mm deep


def test_equal_faces_are_worked_out_once() -> None:
    assert load_of(slab(17, 13), 3.0, recipe()) is load_of(slab(17, 13), 3.0, recipe())
    assert not load_of(slab(17, 13), 3.0, recipe()).seconds.flags.writeable
