"""Seconds and volume of parts, against toolpaths worked out by hand."""

from math import sqrt

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from studio.making.bead import spacing_mm
from studio.making.toolpath import load_of
from tests.making.made import face, hexagon, recipe, slab, triangle

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


def _diagonals(apart: float) -> float:
    """Lines at 45 degrees across 18.32876 x 8.32876: over a corner they are twice their distance from it, and
    nowhere longer than 8.32876 sqrt(2)."""
    wide, high = 18.32876, 8.32876
    across = (wide + high) / sqrt(2)
    u = np.arange(apart / 2, across, apart)
    return float(np.minimum(np.minimum(2 * u, 2 * (across - u)), high * sqrt(2)).sum())


def test_a_plain_slab_by_hand() -> None:
    load = load_of(slab(20, 10), 1.0, STEADY)
    # Walls at 0.225 and 0.63208 from the edge; the inside begins at 0.83562: 18.32876 x 8.32876 = 152.6558
    # mm2. Walls and the gaps between them fill 200 - 152.6558 = 47.3442 mm2, 116.302 mm of line at 0.40708.
    # Fill: lines at 45 degrees reach over 18.8497 mm, so 46 of them at 0.40708, with 45 ways along the edges
    # of 0.40708 sqrt(2). Travel: 2 hops of sqrt(200) = 14.1421 mm with 0.5 s, one step of 0.40708 between the
    # walls.
    assert _diagonals(S) == pytest.approx(152.6558 / S, rel=1e-3)
    length = 116.302 + _diagonals(S) + 45 * S * sqrt(2)
    travel = 2 * (0.5 + 0.141421) + 0.0040708
    assert load.seconds.shape == (5,)
    assert load.seconds[[0, 4]] == pytest.approx(length / 100 + travel, abs=1e-4)
    # Core at 0.2: lines 2.0354 apart, the mean of four ways that they may fall: 37 lines 0.50885 apart in
    # four runs, so 33 ways.
    core = 116.302 + _diagonals(5 * S / 4) / 4 + 33 / 4 * 5 * S * sqrt(2)
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
    # From 0.98 on the lines are as many as in a solid, and where they fall makes up to 0.2 % of the time.
    assert open_core.seconds.sum() <= solid.seconds.sum() * (1.005 if density > 0.98 else 1 + 1e-12)


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
