"""Bead, lines and layers, against plane geometry and published densities."""

from math import pi

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from studio.making.bead import flow_limit_mm_s, layer_count, section_mm2, spacing_mm


def test_section_of_a_bead_with_round_ends() -> None:
    # Plane geometry of the stadium shape: 0.25 x 0.2 and a circle of 0.2.
    assert section_mm2(0.45, 0.20) == pytest.approx(0.0814159, abs=1e-6)
    drawn = shapely.LineString([(0, 0), (0.25, 0)]).buffer(0.1, quad_segs=512)
    assert section_mm2(0.45, 0.20) == pytest.approx(drawn.area, abs=1e-6)


def test_lines_lie_closer_than_beads_are_wide() -> None:
    assert spacing_mm(0.45, 0.20) == pytest.approx(0.4071, abs=5e-5)
    assert 1 - spacing_mm(0.45, 0.20) / 0.45 == pytest.approx(0.095, abs=5e-4)  # plain width is 9.5 % short


@given(st.floats(0.04, 1), st.floats(1, 3))
def test_beads_at_their_spacing_fill_the_layer(layer_mm: float, bead_mm: float) -> None:
    assert section_mm2(bead_mm, layer_mm) == pytest.approx(spacing_mm(bead_mm, layer_mm) * layer_mm)


def test_melting_limits_speed() -> None:
    # v = Q / A: 12 mm3/s through 0.0814159 mm2.
    assert flow_limit_mm_s(12, 0.45, 0.20) == pytest.approx(147.391, rel=1e-4)
    assert section_mm2(0.45, 0.20) * 60 == pytest.approx(4.884956, rel=1e-4)


@pytest.mark.parametrize(
    ("depth", "first", "layer", "count"),
    [
        (10, 0.2, 0.2, 50),
        (10.1, 0.25, 0.2, 51),
        (12, 0.3, 0.2, 60),
        (0.1 + 0.2, 0.1, 0.1, 3),
        (0.05, 0.2, 0.2, 1),
    ],
)
def test_layers(depth: float, first: float, layer: float, count: int) -> None:
    # 1 + ceil((H - h1) / h), common practice, no source; 0.1 + 0.2 catches float noise.
    assert layer_count(depth, first, layer) == count


@given(st.integers(1, 500), st.integers(4, 100), st.integers(4, 100))
def test_whole_layers_are_counted_whole(above: int, first: int, layer: int) -> None:
    depth = first / 100 + above * (layer / 100)
    assert layer_count(depth, first / 100, layer / 100) == 1 + above


def test_pi_is_in_the_section_and_not_in_a_rectangle() -> None:
    assert section_mm2(0.2, 0.2) == pytest.approx(pi * 0.01)  # a round bead
