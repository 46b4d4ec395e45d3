import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.drawing.figures import figure, size_text, text_width


@pytest.mark.parametrize(
    ("size_mm", "metric", "imperial"),
    [
        (1181.2896, "1181.3", '46 1/2"'), (748.0, "748", '29 7/16"'), (25.4, "25.4", '1"'), (0.0, "0", '0"'),
        (12.7, "12.7", '1/2"'), (1205.05, "1205.1", '47 7/16"'), (3.175, "3.2", '1/8"'), (25.3, "25.3", '1"'),
    ],
)  # fmt: skip
def test_figures_by_hand(size_mm: float, metric: str, imperial: str) -> None:
    assert (figure(size_mm), figure(size_mm, "imperial")) == (metric, imperial)


@given(st.floats(0, 20_000))
def test_a_figure_is_never_further_off_than_half_its_step(size_mm: float) -> None:
    assert abs(float(figure(size_mm)) - size_mm) <= 0.05 + 1e-9
    whole, _, part = figure(size_mm, "imperial").rstrip('"').rpartition(" ")
    top, _, bottom = part.partition("/")
    inches = float(whole or 0) + float(top) / float(bottom or 1)
    assert abs(inches * 25.4 - size_mm) <= 25.4 / 32 + 1e-9


def test_running_text_carries_the_unit() -> None:
    assert (size_text(44), size_text(44.45, "imperial")) == ("44 mm", '1 3/4"')


def test_lettering_grows_with_its_capitals() -> None:
    assert text_width("748", 6) == 2 * text_width("748", 3) > 0
