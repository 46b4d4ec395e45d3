"""Sizes as they are lettered on a drawing, and the room that lettering takes."""

from decimal import ROUND_HALF_UP, Decimal
from math import gcd
from typing import Literal

__all__ = ["CAPITAL_EM", "Units", "UNIT", "figure", "size_text", "text_width"]

Units = Literal["metric", "imperial"]
CAPITAL_EM = 0.66
"""Height of a capital in Source Sans, in em."""
WIDE_EM = 0.53
"""Width of a letter or figure in Source Sans, in em: figures have 0.497, words about 0.5."""
UNIT = "mm"
SIXTEENTHS = 16


def figure(size_mm: float, units: Units = "metric") -> str:
    """`1181.3` (to 0.1 mm) or `46 1/2"` (to 1/16 inch). The unit of metric sizes is stated once on the
    drawing."""
    if units == "metric":
        tenths = Decimal(str(size_mm)).quantize(Decimal("0.1"), ROUND_HALF_UP)
        return f"{tenths:f}".removesuffix(".0")
    sixteenths = int(
        (Decimal(str(size_mm)) * SIXTEENTHS / Decimal("25.4")).quantize(Decimal(1), ROUND_HALF_UP)
    )
    whole, part = divmod(sixteenths, SIXTEENTHS)
    common = gcd(part, SIXTEENTHS)
    fraction = f"{part // common}/{SIXTEENTHS // common}" if part else ""
    return " ".join(filter(None, (str(whole) if whole or not part else "", fraction))) + '"'


def size_text(size_mm: float, units: Units = "metric") -> str:
    """A size within running text, with its unit."""
    return f"{figure(size_mm)} {UNIT}" if units == "metric" else figure(size_mm, units)


def text_width(text: str, capital_height: float) -> float:
    """About how wide `text` is, in the unit of its capitals' height."""
    return len(text) * WIDE_EM * capital_height / CAPITAL_EM
