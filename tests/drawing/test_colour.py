import pytest

from studio.drawing.colour import SHEETS, colour_of, contrast_ratio, needs_edge, rgb
from studio.problem import Refused


@pytest.mark.parametrize(
    ("first", "second", "ratio"),
    [
        ("#000000", "#ffffff", 21), ("#767676", "#ffffff", 4.5422), ("#777777", "#ffffff", 4.4781),
        ("#949494", "#ffffff", 3.0335), ("#959595", "#ffffff", 2.9953), ("#0000ff", "#ffffff", 8.5925),
    ],
)  # fmt: skip
def test_contrast_ratio_of_wcag_2_2(first: str, second: str, ratio: float) -> None:
    assert contrast_ratio(first, second) == pytest.approx(ratio, abs=5e-5)
    assert contrast_ratio(second, first) == contrast_ratio(first, second)


def test_white_black_and_the_sheets_need_an_edge_and_tea_does_not() -> None:
    assert all(map(needs_edge, ("#ffffff", "#000000", *SHEETS)))
    assert not needs_edge("#b08d57")


def test_rgb() -> None:
    assert rgb("#ff0033") == (1, 0, 0.2)


@pytest.mark.parametrize("colour", ["red", "#fff", '#ffffff"><script>', "", "#ffffff\n"])
def test_what_is_no_colour_never_reaches_the_markup(colour: str) -> None:
    with pytest.raises(Refused, match="Tea"):
        colour_of({"Tea": colour}, "Tea")


def test_a_missing_colour_is_named() -> None:
    with pytest.raises(Refused, match="no colour for Plum"):
        colour_of({}, "Plum")
    assert colour_of({"Plum": "#AA00BB"}, "Plum") == "#aa00bb"
