from studio.drawing.sheet import Frame, Pen, corner_of, frame_of
from tests.drawing.panels import panel


def test_the_frame_is_the_panel_with_its_edging() -> None:
    frame = frame_of(panel("square", 4, 3, 50))
    assert frame == Frame(-12_000, -12_000, 212_000, 162_000)
    assert (frame.width, frame.height) == (224_000, 174_000)
    assert frame.grown(1, 2, 3, 4) == Frame(-12_001, -12_002, 212_003, 162_004)


def test_a_corner_is_never_larger_than_the_panel() -> None:
    assert corner_of(panel("square", 40, 30, 50), (4, 3)) == Frame(-12_000, -12_000, 212_500, 162_500)
    assert corner_of(panel("square", 2, 2, 50), (4, 3)) == Frame(-12_000, -12_000, 112_000, 112_000)


def test_capitals_in_drawing_units() -> None:
    assert Pen(10, 2.5).capital == 25
