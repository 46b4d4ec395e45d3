"""A dimension of 1000 units, one unit of the sheet being 10: the pen of a drawing at 1:1."""

import pytest

from studio.drawing.dimension import Dimension
from studio.drawing.lettering import text_width
from studio.drawing.sheet import Pen

PEN = Pen(10, 2.5)


def test_lines_and_figure_of_a_level_dimension() -> None:
    lines, text = Dimension(("100",), 0, 1000, 80, 0).drawn(PEN)
    assert lines[0] == (0, 80, 1000, 80)
    assert lines[1::2] == [(0, 10, 0, 95), (1000, 10, 1000, 95)]  # 1 mm off the outline, 1.5 mm past the line
    assert lines[2] == (-11, 91, 11, 69)  # rises to the right
    assert (text.text, text.x, text.y, text.turned) == ("100", 500, 70, False)


def test_upright_figures_stand_left_of_their_line_and_turn() -> None:
    lines, text = Dimension(("100",), 1000, 0, -80, 0, upright=True).drawn(PEN)
    assert lines[0] == (-80, 1000, -80, 0)
    assert (text.x, text.y, text.turned) == (-90, 500, True)


@pytest.mark.parametrize(("length", "expected"), [(1000, "12 columns: 100"), (200, "100")])
def test_the_first_text_that_has_room(length: float, expected: str) -> None:
    text = Dimension(("12 columns: 100", "100"), 0, length, 80, 0).drawn(PEN)[1]
    assert text.text == expected
    assert text.width < length


def test_a_figure_may_fill_all_between_the_strokes() -> None:
    """Half a stroke at each end takes 2.2 mm of the sheet; a hair less room, and the figure moves out."""
    wide = text_width("44", PEN.capital)
    for room, inside in ((wide, True), (wide - 1, False)):
        end = room + 2 * 1.1 * PEN.unit
        assert Dimension(("44", "4"), 0, end, 80, 0).drawn(PEN)[1].text == ("44" if inside else "4")
        lines, text = Dimension(("44",), 0, end, 80, 0).drawn(PEN)
        assert (text.x == end / 2) == (lines[0][2] == end) == inside


def test_where_none_has_room_the_line_goes_on_under_the_figure() -> None:
    lines, text = Dimension(("44",), 1000, 990, 80, 0, upright=True).drawn(PEN)
    assert text.y + text.width / 2 < 990  # wholly beyond the upper end
    assert lines[0] == (80, 1000, 80, pytest.approx(text.y - text.width / 2))
    assert text.width == text_width("44", 25)
