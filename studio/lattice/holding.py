"""How infill pieces are held in their cells, and held together."""

from typing import NamedTuple

from studio.lattice.pattern import Pattern

__all__ = ["HOLDINGS", "Held", "why_rim"]


class Held(NamedTuple):
    """`how` a piece is held, and whether it can be replaced `later` and what that takes; plain words for a
    client and a workshop."""

    how: str
    later: str


HOLDINGS = {
    "crush rib": Held(
        "pressed in: small ribs where it touches the strips are crushed",
        "it can be pushed out from behind and a spare pressed in",
    ),
    "front lip": Held(
        "laid in from behind against a lip at the front and held by the backing",
        "it can be replaced once the backing is off",
    ),
    "glue dot": Held(
        "set in with a dot of glue where it touches the strips",
        "it stays: taking it out would break it and mark the strips",
    ),
}
"""By `Pattern.holding`."""


def why_rim(pattern: Pattern, rim: bool) -> str:
    """Why a piece has a rim, in plain words; "" when it has none."""
    if not rim:
        return ""
    return f"has a rim, {'as drawn' if pattern.rim == 'always' else 'because its strokes would part'}"
