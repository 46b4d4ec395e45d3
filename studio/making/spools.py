"""Whole spools to buy for plates of which none may run from two."""

from collections.abc import Iterable
from math import ceil

__all__ = ["bins_for", "spools_to_buy"]

NOISE_G = 0.02
"""Masses are rounded to 0.01 g before they are added."""


def bins_for(sizes: Iterable[float], capacity: float, opened: Iterable[float] = ()) -> list[float]:
    """What is left in each bin after first-fit decreasing: `opened` bins first, then new ones of
    `capacity`, which is at least the largest size."""
    left = list(opened)
    for size in sorted(sizes, reverse=True):
        place = next((i for i, room in enumerate(left) if size <= room + NOISE_G), None)
        if place is None:
            left.append(capacity - size)
        else:
            left[place] -= size
    return left


def spools_to_buy(plates_g: Iterable[float], reprints_g: float, spool_g: float, shelf_g: float) -> int:
    """Spools to buy for plates of these masses and expected reprints.

    The shelf counts as full spools and at most one open one with the rest. Expected reprints are no plates
    yet: they may use what the plates leave in any spool.
    """
    full, rest = divmod(shelf_g, spool_g)
    shelf = [rest, *[spool_g] * int(full)]
    left = bins_for(plates_g, spool_g, shelf)
    short = max(0.0, reprints_g - sum(left))
    return len(left) - len(shelf) + ceil(short / spool_g)
