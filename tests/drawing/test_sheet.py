import pytest

from studio.drawing.sheet import Frame, Pen, corner_of, frame_of
from tests.drawing.panels import KINDS, composed, panel


def test_the_frame_is_the_panel_with_its_edging() -> None:
    frame = frame_of(panel("square", 4, 3, 50))
    assert frame == Frame(-12_000, -12_000, 212_000, 162_000)
    assert (frame.width, frame.height) == (224_000, 174_000)
    assert frame.grown(1, 2, 3, 4) == Frame(-12_001, -12_002, 212_003, 162_004)


def test_a_corner_is_never_larger_than_the_panel() -> None:
    assert corner_of(panel("square", 40, 30, 50), (4, 3)) == Frame(-12_000, -12_000, 212_500, 162_500)
    assert corner_of(panel("square", 2, 2, 50), (4, 3)) == Frame(-12_000, -12_000, 112_000, 112_000)


@pytest.mark.parametrize("lattice", KINDS)
def test_a_corner_of_every_lattice_is_as_large_as_it_is_counted(lattice: str) -> None:
    """Four cells across and three up, as a person counts them, and a quarter of a side more."""
    corner = corner_of(composed(lattice, 24, 20), (4, 3))
    across = {"three-way": 4 * 38.105, "three-way turned": 4 * 44, "square": 4 * 44, "diamond": 4 * 76.21}
    up = {"three-way": 3 * 44, "three-way turned": 3 * 38.105, "square": 3 * 44, "diamond": 3 * 44}
    assert (corner.left, corner.top) == (-12_000, -12_000)
    assert corner.width == pytest.approx(1000 * (12 + across[lattice] + 11), abs=20)
    assert corner.height == pytest.approx(1000 * (12 + up[lattice] + 11), abs=20)


def test_capitals_in_drawing_units() -> None:
    assert Pen(10, 2.5).capital == 25
