import pytest

from studio.drawing.scale import Scale, largest_scale


def test_the_largest_listed_scale_that_fits() -> None:
    """ISO 5455: a panel of 1200 x 800 mm on A4 landscape less 10 mm margins; 1:2.5 is not listed."""
    scale = largest_scale(1200, 800, (277, 190))
    assert str(scale) == "1:5"
    assert (scale.paper_mm(1200), scale.paper_mm(800)) == (240, 160)


@pytest.mark.parametrize(
    ("width_mm", "text"),
    [
        (1, "50:1"), (4, "20:1"), (20, "5:1"), (100, "1:1"), (100.01, "1:2"), (200, "1:2"), (250, "1:5"),
        (501, "1:10"), (1001, "1:20"), (2500, "1:50"), (999_999, "1:10000"), (1_000_001, "1:20000"),
    ],
)  # fmt: skip
def test_listed_scales_of_iso_5455_in_order(width_mm: float, text: str) -> None:
    assert str(largest_scale(width_mm, 1, (100, 100))) == text


def test_the_height_counts_as_much_as_the_width() -> None:
    assert largest_scale(100, 1000, (500, 100)) == Scale(1, 10)


def test_a_field_without_room_is_an_error() -> None:
    with pytest.raises(ValueError, match="0 by 10"):
        largest_scale(1, 1, (0, 10))
