"""What going from one design of an option to another changes, in the words of its page."""

from collections.abc import Callable, Iterator
from decimal import Decimal
from typing import Any

from studio.commissions.words import colour_word
from studio.document import dump
from studio.drawing.figures import Units
from studio.forms import flat, plain
from studio.lattice.design import Arrangement, Bands, Design
from studio.lattice.patterns import pattern
from studio.typed_lengths import shown_length

__all__ = ["step"]

KINDS = {"all over": "all over", "bands": "in bands", "border and field": "with a border"}
NAMES = {
    "cell_side_mm": "cells",
    "lattice_filament": "lattice",
    "edging_filament": "edging",
    "depth_mm": "depth",
    "lit": "light",
    "backing": "back",
    "columns": "columns",
    "rows": "rows",
    "side_play_percent": "play of the side, %",
    "strip_width_mm": "strip",
    "edging_width_mm": "edging",
    "infill_strip_mm": "strip in a piece",
    "infill_depth_mm": "depth of the pieces",
    "clearance_mm": "play round a piece",
}


def step(now: Design, then: Design, units: Units) -> str:
    """The first difference, in the order of the paragraph: "depth 12.5 mm → 12 mm"; "and more" when there are
    others. Empty when the designs are alike."""
    first, *others = [*_steps(now, then, units), ""]
    return f"{first} and more" if len(others) > 1 else first


def _steps(now: Design, then: Design, units: Units) -> Iterator[str]:
    if now.lattice != then.lattice:
        yield f"lattice {now.lattice} → {then.lattice}"
    yield from _arrangements(now, then)
    for key, name in NAMES.items():
        old, new = getattr(now, key), getattr(then, key)
        if old != new:
            yield f"{name} {_shown(key, old, units)} → {_shown(key, new, units)}"


def _shown(key: str, value: Any, units: Units) -> str:
    if key.endswith("_mm"):
        return shown_length(value, units)
    if key.endswith("_filament"):
        return colour_word(value)
    if isinstance(value, bool):
        return "lit from behind" if value else "not lit"
    if isinstance(value, Decimal):
        return plain(value)
    return "as many as fit" if value is None else "open" if value == "none" else str(value)


def _arrangements(now: Design, then: Design) -> Iterator[str]:
    old, new = now.arrangement, then.arrangement
    if old.kind != new.kind:
        yield f"{KINDS[old.kind]} → {KINDS[new.kind]}"
    elif _count(old) != _count(new):
        yield f"{_count(old)} bands → {_count(new)}"
    else:
        was, becomes = flat(dump(old)), flat(dump(new))
        for key, text in was.items():
            if text != becomes[key]:
                yield f"{_leaf(key, text, now)} → {_leaf(key, becomes[key], then)}"


def _count(arrangement: Arrangement) -> int:
    return len(arrangement.bands) if isinstance(arrangement, Bands) else 0


def _leaf(key: str, text: str, design: Design) -> str:
    say: dict[str, Callable[[], str]] = {
        "pattern": lambda: pattern(text, design.lattice).name.lower(),
        "filament": lambda: colour_word(text),
        "cells": lambda: f"{text}-cell band",
        "border_cells": lambda: f"{text}-cell border",
    }
    return say.get(key.rpartition(".")[2], lambda: text)()
