"""Times of moves, against constant-acceleration kinematics and against numerical integration."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.making.motion import move_seconds, one_move_seconds

# Trapezoidal and triangular profiles: K. Lynch, F. Park, Modern Robotics (2017), ch. 9 (from memory).
TRAPEZOID = [(100, 100, 1000, 1.1), (40, 150, 3000, 0.316667)]
TRIANGLE = [(5, 100, 1000, 0.141421), (2, 150, 3000, 0.051640)]
BOTH = [(10, 100, 1000, 0.2), (7.5, 150, 3000, 0.1)]


@pytest.mark.parametrize(("length", "speed", "acceleration", "seconds"), TRAPEZOID + TRIANGLE + BOTH)
def test_from_rest_to_rest(length: float, speed: float, acceleration: float, seconds: float) -> None:
    assert float(move_seconds(length, speed, acceleration, 0)) == pytest.approx(seconds, abs=1e-6)


def test_many_moves_at_once() -> None:
    found = move_seconds([100, 5, 10, 0], 100, 1000, 0)
    assert found.shape == (4,)
    assert found == pytest.approx([1.1, 0.141421, 0.2, 0.0], abs=1e-6)


def test_corner_speed_shortens_a_move_by_its_ramps() -> None:
    # From 20 to 100 mm/s at 1000 mm/s2: 0.08 s over 4.8 mm at each end; 90.4 mm are left at 100 mm/s.
    assert float(move_seconds(100, 100, 1000, 20)) == pytest.approx(0.16 + 0.904)


def test_a_corner_faster_than_the_move_is_no_corner() -> None:
    assert float(move_seconds(30, 60, 1000, 80)) == pytest.approx(0.5)


@given(st.floats(0.05, 300), st.floats(5, 300), st.floats(100, 20_000), st.floats(0, 50))
def test_distance_integrated_over_the_time_is_the_length(
    length: float, speed: float, acceleration: float, corner: float
) -> None:
    seconds = float(move_seconds(length, speed, acceleration, corner))
    t = np.linspace(0, seconds, 20_001)
    ramp = min(corner, speed) + acceleration * np.minimum(t, seconds - t)
    assert np.trapezoid(np.minimum(ramp, speed), t) == pytest.approx(length, rel=1e-4)


@given(st.floats(0, 300), st.floats(5, 300), st.floats(100, 20_000), st.floats(0, 50))
def test_one_move_is_one_of_many(length: float, speed: float, acceleration: float, corner: float) -> None:
    many = move_seconds([length], speed, acceleration, corner)
    assert one_move_seconds(length, speed, acceleration, corner) == pytest.approx(float(many[0]))
