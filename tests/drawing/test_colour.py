import pytest

from studio.drawing.colour import SHEETS, colour_of, contrast_ratio, linear_rgb, needs_edge, rgb
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


def test_dark_channels_are_decoded_straight_and_others_by_a_power() -> None:
    """sRGB (IEC 61966-2-1): c / 12.92 up to 0.04045, which lies between 10/255 and 11/255."""
    red, green, blue = linear_rgb("#0a0b80")
    assert red == pytest.approx(10 / 255 / 12.92)
    assert green == pytest.approx(((11 / 255 + 0.055) / 1.055) ** 2.4)
    assert blue == pytest.approx(0.2158605)


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
