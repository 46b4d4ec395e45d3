"""The faces are one set for pages and documents."""

from django.contrib.staticfiles.finders import find

from studio.fonts import FACES


def test_every_face_is_a_file_and_is_served() -> None:
    assert len(FACES) == 8
    for name, path in FACES.items():
        assert path.read_bytes()[:4] == b"\x00\x01\x00\x00", name  # the TrueType signature
        assert find(f"fonts/{name}") == str(path)


def test_other_names_are_not_found() -> None:
    assert not find("fonts/Other.ttf")
    assert not find("SourceSansPro-Bold.ttf")
