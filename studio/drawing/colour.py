"""Colours of filaments on a drawing: which need an edge to be seen on the sheet."""

import re
from collections.abc import Mapping

from studio.memo import memo
from studio.problem import Refused

__all__ = ["colour_of", "contrast_ratio", "linear_rgb", "needs_edge", "rgb"]

SHEETS = ("#ffffff", "#1e2124")
"""What drawings lie on, light and dark."""
FAINT = 1.8
"""Contrast against a sheet below which a colour gets a thin edge; by eye, no source."""


def colour_of(colours: Mapping[str, str], filament: str) -> str:
    """The "#rrggbb" of a filament. Raises Refused where it is missing or not of that form, for it is put
    into markup."""
    colour = colours.get(filament, "")
    if not re.fullmatch(r"#[0-9a-fA-F]{6}", colour):
        found = f"the colour of {filament} is {colour!r}" if colour else f"there is no colour for {filament}"
        raise Refused.because("filament", found, "give the filament a colour such as #b08d57")
    return colour.lower()


def rgb(colour: str) -> tuple[float, float, float]:
    """Red, green and blue of "#rrggbb", each 0 to 1."""
    red, green, blue = (int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5))
    return red, green, blue


def contrast_ratio(first: str, second: str) -> float:
    """1 to 21: WCAG 2.2, "contrast ratio" and "relative luminance"."""
    low, high = sorted((_luminance(first), _luminance(second)))
    return (high + 0.05) / (low + 0.05)


@memo
def needs_edge(colour: str) -> bool:
    """Whether the colour would be lost on the light or on the dark sheet."""
    return min(contrast_ratio(colour, sheet) for sheet in SHEETS) < FAINT


def linear_rgb(colour: str) -> tuple[float, float, float]:
    """Red, green and blue of "#rrggbb" as amounts of light, each 0 to 1: sRGB (IEC 61966-2-1) decoded as in
    WCAG 2.2, "relative luminance"."""
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in rgb(colour))
    return red, green, blue


def _luminance(colour: str) -> float:
    red, green, blue = linear_rgb(colour)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue
