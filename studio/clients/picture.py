"""A photograph as it is taken in: decoded within limits, and made anew from its pixels alone.

Nothing of a file but its pixels is kept: no place, no camera, no trailing bytes. Pixels are counted from the
header before any is decoded, since a file of a few kilobytes can claim to hold thousands of millions.
"""

from dataclasses import dataclass
from hashlib import sha256
from io import BytesIO

from PIL import Image, ImageOps, UnidentifiedImageError

from studio.problem import Refused

__all__ = ["LARGEST_BYTES", "MOST_STORED_BYTES", "Picture", "take_in"]

LARGEST_BYTES = 25_000_000
MOST_STORED_BYTES = 1_500_000
MOST_PIXELS = 30_000_000
LONGEST_PX = 2400
"""Enough to click a corner on: half a millimetre to the pixel on a wall of 1.2 m."""
FORMATS = ("JPEG", "PNG", "WEBP")
DAMAGED = "the photograph is damaged", "choose it again, or take another one"
QUALITIES = (85, 75, 65)
SMALLER = 0.75


@dataclass(frozen=True, slots=True)
class Picture:
    """`image` is a JPEG file of its pixels and nothing else."""

    image: bytes
    width_px: int
    height_px: int

    @property
    def sha256(self) -> str:
        return sha256(self.image).hexdigest()


class _Watched(BytesIO):
    """Tells whether more was read than there is: a decoder in want of data. Pillow's own switch for truncated
    files is the whole process's, and what draws the documents turns it on."""

    ended = False

    def read(self, size: int | None = -1, /) -> bytes:
        found = super().read(size)
        self.ended |= not found and size != 0
        return found


def take_in(data: bytes) -> Picture:
    """Turned upright, at most LONGEST_PX long and MOST_STORED_BYTES large. Raises Refused with the field
    "photograph"."""
    if not data:
        raise _refused("no photograph is chosen", "choose a file")
    if len(data) > LARGEST_BYTES:
        raise _refused(
            f"the file has more than {LARGEST_BYTES // 10**6} MB", "send it smaller, as an e-mail would"
        )
    return _anew(_decoded(data))


def _refused(reason: str, remedy: str) -> Refused:
    return Refused.because("photograph", reason, remedy)


def _decoded(data: bytes) -> Image.Image:
    """Upright, small enough, without transparency."""
    try:
        with Image.open(file := _Watched(data), formats=FORMATS) as found:
            width, height = found.size
            if width * height > MOST_PIXELS:
                reason = f"it has {width} × {height} pixels, more than {MOST_PIXELS // 10**6} millions"
                raise _refused(reason, "send it smaller, as an e-mail would")
            found.draft("RGB", (LONGEST_PX, LONGEST_PX))  # only a JPEG can be decoded smaller
            file.ended = False
            found.load()
            if not file.ended:
                return _flat(ImageOps.exif_transpose(found))
    except Refused:
        raise
    except (Image.DecompressionBombError, Image.DecompressionBombWarning):
        raise _refused("it has far too many pixels", "send it smaller, as an e-mail would") from None
    except UnidentifiedImageError:
        raise _refused("this is no photograph that can be read", "choose a JPEG, PNG or WebP file") from None
    except Exception:  # decoders answer damage with whatever they trip over
        raise _refused(*DAMAGED) from None
    raise _refused(*DAMAGED)


def _flat(image: Image.Image) -> Image.Image:
    """In three colours, on white where it is transparent, and no longer than is kept."""
    if image.has_transparency_data:
        image = image.convert("RGBA")
        image.thumbnail((LONGEST_PX, LONGEST_PX))
        white = Image.new("RGB", image.size, "white")
        white.paste(image, mask=image.getchannel("A"))
        return white
    image = image.convert("RGB")
    image.thumbnail((LONGEST_PX, LONGEST_PX))
    return image


def _anew(image: Image.Image) -> Picture:
    """From the pixels: what else came with the file stays behind. Noise does not pack, and is made smaller
    until it fits."""
    bare = Image.frombytes("RGB", image.size, image.tobytes())
    for quality in QUALITIES:
        out = BytesIO()
        bare.save(out, "JPEG", quality=quality, optimize=True)
        if out.tell() <= MOST_STORED_BYTES:
            return Picture(out.getvalue(), *bare.size)
    return _anew(bare.resize(tuple(max(1, int(side * SMALLER)) for side in bare.size)))  # type: ignore[arg-type]
