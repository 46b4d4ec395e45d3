"""Whole spools to buy for plates of which none may run from two."""

from collections.abc import Iterable
from math import ceil

__all__ = ["bins_for", "spools_to_buy"]

NOISE_G = 0.02
"""Masses are rounded to 0.01 g before they are added."""


def bins_for(sizes: Iterable[float], capacity: float, opened: Iterable[float] = ()) -> list[float]:
    """What is left in each bin after first-fit decreasing: `opened` bins first, then new ones of
    `capacity`, which is at least the largest size. The bins are the leaves of a tree in which each node knows
    the most room below it, so that the first that will do is found by going down once."""
    in_order, rooms = sorted(sizes, reverse=True), list(opened)
    used, most = len(rooms), len(rooms) + len(in_order)
    leaves = 1 << max(0, most - 1).bit_length()
    room = [0.0] * leaves + rooms + [capacity] * (leaves - used)
    for node in range(leaves - 1, 0, -1):
        room[node] = max(room[2 * node], room[2 * node + 1])
    for size in in_order:
        node = 1
        while node < leaves:
            node = 2 * node + (size > room[2 * node] + NOISE_G)
        used = max(used, node - leaves + 1)
        room[node] -= size
        while node := node // 2:
            room[node] = max(room[2 * node], room[2 * node + 1])
    return room[leaves : leaves + used]


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
