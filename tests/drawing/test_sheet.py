from studio.drawing.sheet import Frame, Pen, corner_of, frame_of
from tests.drawing.panels import panel


def test_the_frame_is_the_panel_with_its_edging() -> None:
    frame = frame_of(panel("square", 4, 3, 50))
    assert frame == Frame(-120, -120, 2120, 1620)
    assert (frame.width, frame.height) == (2240, 1740)
    assert frame.grown(1, 2, 3, 4) == Frame(-121, -122, 2123, 1624)


def test_a_corner_is_never_larger_than_the_panel() -> None:
    assert corner_of(panel("square", 40, 30, 50), (4, 3)) == Frame(-120, -120, 2125, 1625)
    assert corner_of(panel("square", 2, 2, 50), (4, 3)) == Frame(-120, -120, 1120, 1120)


def test_capitals_in_drawing_units() -> None:
    assert Pen(10, 2.5).capital == 25
