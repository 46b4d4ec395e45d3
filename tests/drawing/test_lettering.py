from studio.drawing.lettering import text_width


def test_lettering_grows_with_its_capitals() -> None:
    assert text_width("748", 6) == 2 * text_width("748", 3) > 0
