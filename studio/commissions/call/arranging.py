"""The arrangement of the kind that is chosen, from fields that may have been written for another kind. Pure.

Everything here is JSON values as typed: reading them as a design tells what is wrong with them.
"""

import re
from collections.abc import Collection, Mapping, Sequence
from typing import Any

from studio.lattice.design import LatticeKind
from studio.lattice.patterns import usual_patterns

__all__ = ["arranged"]

Written = Mapping[str, Any]
PAIRS = {
    "border and field": ("field", "border"),
    "rosettes": ("field", "rosette"),
    "drift": ("first", "second"),
    "alternating": ("first", "second"),
}
"""The names of an arrangement's two infills, the main one first."""
REPEATED = ("bands", "rings")
SINGLE = ("infill", "field", "border", "rosette", "first", "second")
KEPT = {
    "border and field": {"border_cells": "2"},
    "rosettes": {"apart": "3"},
    "drift": {"direction": "to the right", "seed": "1", "anchor_column": "0", "anchor_row": "0"},
    "bands": {"direction": "upright"},
    "rings": {"across_percent": "50", "up_percent": "50"},
}
"""What else an arrangement has, and what it has before anybody says so."""
WAYS = {
    "bands": {"to the right": "upright", "to the left": "upright", "upwards": "level", "downwards": "level"},
    "drift": {"upright": "to the right", "level": "upwards"},
}
"""A direction of another kind of arrangement in this one's words."""
MOST, LAST_SEED = 12, 999_999
SEED = re.compile("[0-9]{1,6}")


def arranged(
    written: object, lattice: LatticeKind, known: Collection[str], change: str, colours: Sequence[str] = ()
) -> Any:
    """The arrangement with patterns that are `known` in its lattice. `change` is a button: "add band" and
    "remove band", the same with rings, "another throw". A second infill that nobody wrote takes the first of
    the `colours` that the first one does not have."""
    chosen = [_in_lattice(infill, place, lattice, known) for place, infill in enumerate(_infills(written))]
    if not isinstance(written, dict) or not chosen:
        return written
    kind = str(written.get("kind"))
    kept = {name: written.get(name, usual) for name, usual in KEPT.get(kind, {}).items()}
    if kind in WAYS:
        kept["direction"] = WAYS[kind].get(str(kept["direction"]), kept["direction"])
    if change == "another throw" and SEED.fullmatch(str(kept.get("seed"))):
        kept["seed"] = str(int(kept["seed"]) % LAST_SEED + 1)
    two = _two(chosen, lattice, colours)
    if kind in PAIRS:
        return {"kind": kind, **dict(zip(PAIRS[kind], two, strict=False)), **kept}
    if kind in REPEATED:
        return {"kind": kind, **kept, kind: _repeated(written, chosen, two, change)}
    return {"kind": kind, "infill": chosen[0]}


def _infills(arrangement: object) -> list[Mapping[str, str]]:
    """The infills in an arrangement of whatever kind its fields are, the main one first."""
    if not isinstance(arrangement, dict):
        return []
    found = [arrangement.get(name) for name in SINGLE]
    found += [each.get("infill") for each in _rows(arrangement)]
    return [infill for infill in found if isinstance(infill, dict) and infill.get("filament")]


def _rows(arrangement: Written) -> list[Written]:
    rows = [row for name in REPEATED for row in arrangement.get(name) or []]
    return [row for row in rows if isinstance(row, dict)]


def _in_lattice(
    infill: Mapping[str, str], place: int, lattice: LatticeKind, known: Collection[str]
) -> dict[str, str]:
    """An infill in its colour; for a pattern that is not known, one of the lattice's usual two by turns."""
    slug = str(infill.get("pattern"))
    usual = usual_patterns(lattice)[place % 2]
    return {"pattern": slug if slug in known else usual, "filament": infill["filament"]}


def _two(chosen: list[dict[str, str]], lattice: LatticeKind, colours: Sequence[str]) -> list[dict[str, str]]:
    """At least two infills: a second one in another colour, with another of the lattice's usual patterns."""
    if len(chosen) > 1:
        return chosen
    (first,), usual = chosen, usual_patterns(lattice)
    colour = next((colour for colour in colours if colour != first["filament"]), first["filament"])
    return [first, {"pattern": usual[usual[0] == first["pattern"]], "filament": colour}]


def _repeated(
    written: Written, chosen: list[dict[str, str]], two: list[dict[str, str]], change: str
) -> list[dict[str, Any]]:
    """The bands or rings that are written, even a single one; else one of each infill. One more goes on by
    turns, one less drops the last."""
    rows = _rows(written)
    cells = [row.get("cells", "3") for row in rows] or ["3"] * len(two)
    cells += ["3"] * (len(chosen) - len(cells))
    found = [
        {"infill": infill, "cells": count}
        for infill, count in zip(chosen if rows else two, cells, strict=False)
    ]
    if change in ("add band", "add ring") and len(found) < MOST:
        found.append(dict(found[-2]) if len(found) > 1 else {**found[0], "infill": two[1]})
    if change in ("remove band", "remove ring") and len(found) > 1:
        found.pop()
    return found
