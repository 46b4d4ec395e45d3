"""What is taken in as a photograph, and what of it is kept."""

import struct
import zlib
from io import BytesIO
from typing import Any

import pytest
from PIL import Image, ImageFile

from studio.clients import picture
from studio.clients.picture import LONGEST_PX, MOST_STORED_BYTES, take_in
from studio.problem import Refused

ORIENTATION, GPS, MAKER = 0x0112, 0x8825, 0x010F


def saved(image: Image.Image, kind: str = "JPEG", **how: Any) -> bytes:
    out = BytesIO()
    image.save(out, kind, **how)
    return out.getvalue()


def refused(data: bytes) -> str:
    with pytest.raises(Refused) as found:
        take_in(data)
    (problem,) = found.value.problems
    assert problem.field == "photograph"
    return problem.reason


def opened(data: bytes) -> Image.Image:
    found = Image.open(BytesIO(data))
    found.load()
    return found


def left_red(width: int = 400, height: int = 200) -> Image.Image:
    """Red on the left half, blue on the right."""
    image = Image.new("RGB", (width, height), "blue")
    image.paste("red", (0, 0, width // 2, height))
    return image


def png(width: int, height: int, rows: bytes = b"") -> bytes:
    """A PNG of grey pixels that says it has so many, whatever it holds."""

    def chunk(name: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))

    head = struct.pack(">IIBBBBB", width, height, 8, 0, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n"
        + chunk(b"IHDR", head)
        + chunk(b"IDAT", zlib.compress(rows))
        + chunk(b"IEND", b"")
    )


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_each_format_becomes_a_jpeg_of_its_pixels(kind):
    found = take_in(saved(left_red(), kind))
    image = opened(found.image)
    assert (image.format, image.mode, image.size) == ("JPEG", "RGB", (400, 200))
    assert (found.width_px, found.height_px) == (400, 200)
    red, blue = image.getpixel((100, 100)), image.getpixel((300, 100))
    assert red[0] > 240 > 15 > red[2]
    assert blue[2] > 240 > 15 > blue[0]


def test_nothing_but_pixels_is_kept():
    exif = Image.Exif()
    exif[MAKER] = "Sallow & Sons"
    exif.get_ifd(GPS)[1] = "N"
    exif.get_ifd(GPS)[2] = (54.0, 3.0, 12.0)
    sent = (
        saved(left_red(), exif=exif, comment=b"in the hall", icc_profile=b"profile" * 9) + b"trailing words"
    )
    for words in (b"Sallow", b"in the hall", b"trailing"):
        assert words in sent
    assert GPS in opened(sent).getexif()
    kept = take_in(sent).image
    for words in (b"Sallow", b"in the hall", b"trailing", b"profile", b"Exif"):
        assert words not in kept
    image = opened(kept)
    assert len(image.getexif()) == 0
    assert set(image.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}


@pytest.mark.parametrize(
    ("orientation", "size", "red_at"),
    [
        (1, (400, 200), (50, 100)),
        (3, (400, 200), (350, 100)),
        (6, (200, 400), (100, 50)),
        (8, (200, 400), (100, 350)),
    ],
)
def test_a_photograph_is_turned_upright(orientation, size, red_at):
    """By EXIF 2.3: 3 is half a turn, 6 and 8 a quarter clockwise and anticlockwise."""
    exif = Image.Exif()
    exif[ORIENTATION] = orientation
    image = opened(take_in(saved(left_red(), exif=exif)).image)
    assert image.size == size
    assert image.getpixel(red_at)[0] > 240


def test_what_is_transparent_is_white():
    image = Image.new("RGBA", (20, 20), (0, 0, 0, 0))
    image.paste((255, 0, 0, 255), (0, 0, 10, 20))
    found = opened(take_in(saved(image, "PNG")).image)
    assert min(found.getpixel((17, 10))) > 240
    assert found.getpixel((2, 10))[1] < 40


def test_a_large_one_is_made_smaller():
    found = take_in(saved(left_red(4000, 3000)))
    assert (found.width_px, found.height_px) == (LONGEST_PX, 1800) == opened(found.image).size


def test_noise_is_made_smaller_until_it_fits(monkeypatch):
    """With a limit that this picture is beyond at every quality."""
    monkeypatch.setattr(picture, "MOST_STORED_BYTES", 20_000)
    found = take_in(saved(Image.effect_noise((400, 300), 120)))
    assert len(found.image) <= 20_000 < MOST_STORED_BYTES
    assert found.width_px < 400
    assert (found.width_px, found.height_px) == opened(found.image).size


@pytest.mark.parametrize(
    ("width", "height"), [(7000, 5000), (12_000, 12_000), (200_000, 200_000), (2**31 - 1, 1)]
)
def test_pixels_are_counted_before_any_is_decoded(monkeypatch, width, height):
    """The files are of some hundred bytes, and say that they hold 35 million pixels and more."""
    monkeypatch.setattr(ImageFile.ImageFile, "load", lambda _self: pytest.fail("decoded"))
    sent = png(width, height, bytes(1000))
    assert len(sent) < 200
    assert "pixels" in refused(sent)


def test_as_many_pixels_as_are_let_in_are_decoded(monkeypatch):
    monkeypatch.setattr(picture, "MOST_PIXELS", 80_000)
    assert take_in(saved(left_red())).width_px == 400
    assert refused(saved(left_red(401))) == "it has 401 × 200 pixels, more than 0 millions"


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
@pytest.mark.parametrize("kept", [0.2, 0.6, 0.95])
@pytest.mark.parametrize("lenient", [True, False])
def test_a_truncated_one_is_damaged(monkeypatch, kind, kept, lenient):
    """Whatever the process thinks of truncated files: what draws the documents lets them pass."""
    monkeypatch.setattr(ImageFile, "LOAD_TRUNCATED_IMAGES", lenient)
    whole = saved(Image.effect_noise((300, 200), 90).convert("RGB"), kind)
    assert refused(whole[: int(len(whole) * kept)]) in (
        "the photograph is damaged", "this is no photograph that can be read"
    )  # fmt: skip


@pytest.mark.parametrize(
    "data",
    [b"x", b"<svg xmlns='http://www.w3.org/2000/svg'/>", b"%PDF-1.7", b"\xff\xd8\xff", b"GIF89a" + bytes(99),
     saved(left_red(), "GIF"), saved(left_red(), "TIFF"), saved(left_red(), "BMP"), saved(left_red(), "PPM")],
)  # fmt: skip
def test_nothing_else_is_taken_in(data):
    assert refused(data) in ("this is no photograph that can be read", "the photograph is damaged")


def test_no_file_and_too_large_a_file(monkeypatch):
    assert refused(b"") == "no photograph is chosen"
    monkeypatch.setattr(picture, "LARGEST_BYTES", 3_000_000)
    assert refused(bytes(3_000_001)) == "the file has more than 3 MB"


@pytest.mark.parametrize("mode", ["1", "L", "LA", "P", "CMYK", "I;16"])
def test_other_kinds_of_colour_are_read(mode):
    image = Image.new(mode, (30, 20))
    sent = saved(image, "JPEG" if mode == "CMYK" else "PNG")
    assert opened(take_in(sent).image).mode == "RGB"
