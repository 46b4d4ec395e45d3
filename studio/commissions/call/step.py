"""What going from one design of an option to another changes, in the words of its page."""

from collections.abc import Callable, Iterator
from decimal import Decimal
from typing import Any

from studio.commissions.words import ARRANGEMENTS, colour_word, infill_words, pattern_word
from studio.document import dump
from studio.forms import flat, plain
from studio.lattice.design import Design, Infill
from studio.lattice.infills import infills_of
from studio.voice import Voice

__all__ = ["step"]

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
    "seams_after_columns": "seams after columns",
    "seams_after_rows": "seams after rows",
    "hanger": "hung by",
    "light_layout": "light laid",
    "light_strip": "light strip",
    "light_control": "light set",
    "light_diffuser_mm": "light to diffuser",
}


def step(now: Design, then: Design, voice: Voice) -> str:
    """The first difference, in the order of the paragraph: "depth 12.5 mm → 12 mm"; "and more" when there are
    others. Empty when the designs are alike."""
    first, *others = [*_steps(now, then, voice), ""]
    return f"{first} and more" if len(others) > 1 else first


def _steps(now: Design, then: Design, voice: Voice) -> Iterator[str]:
    if now.lattice != then.lattice:
        yield f"lattice {now.kind.spoken} → {then.kind.spoken}"
    if now.angle_deg != then.angle_deg:
        yield f"angle of a cell {plain(now.angle_deg)}° → {plain(then.angle_deg)}°"
    yield from _arrangements(now, then)
    yield from _touch_ups(now, then)
    for key, name in NAMES.items():
        old, new = getattr(now, key), getattr(then, key)
        if old != new:
            yield f"{name} {_shown(key, old, voice)} → {_shown(key, new, voice)}"


def _shown(key: str, value: Any, voice: Voice) -> str:
    if key == "hanger":
        return value or "the cheapest that holds"
    if key.startswith("light_") and value in (None, ""):
        return "as the catalogue has it"
    if key.endswith("_mm"):
        return voice.length(value)
    if key.endswith("_filament"):
        return colour_word(value)
    if isinstance(value, bool):
        return "lit from behind" if value else "not lit"
    if isinstance(value, Decimal):
        return plain(value)
    if isinstance(value, tuple):
        return ", ".join(map(str, value)) or "where we put them"
    return "as many as fit" if value is None else "open" if value == "none" else str(value)


def _arrangements(now: Design, then: Design) -> Iterator[str]:
    old, new = now.arrangement, then.arrangement
    if old.kind != new.kind:
        yield f"{ARRANGEMENTS[old.kind]} → {ARRANGEMENTS[new.kind]}"
    elif _count(now) != _count(then):
        count = _count(now)
        yield f"{count} {old.kind.removesuffix('s') if count == 1 else old.kind} → {_count(then)}"
    else:
        was, becomes = flat(dump(old)), flat(dump(new))
        for key, text in was.items():
            if text != becomes[key]:
                yield f"{_leaf(key, text, now)} → {_leaf(key, becomes[key], then)}"


def _count(design: Design) -> int:
    """Infills of the arrangement: of bands and rings as many as there are of these."""
    return sum(field.startswith("arrangement.") for field in infills_of(design))


def _leaf(key: str, text: str, design: Design) -> str:
    repeated = design.arrangement.kind.removesuffix("s")
    say: dict[str, Callable[[], str]] = {
        "pattern": lambda: pattern_word(Infill(pattern=text, filament="any"), design),
        "filament": lambda: colour_word(text),
        "cells": lambda: f"{text}-cell {repeated}",
        "border_cells": lambda: f"{text}-cell border",
        "across_percent": lambda: f"{plain(text)} % across",
        "up_percent": lambda: f"{plain(text)} % up",
        "apart": lambda: f"every {text} cells",
        "seed": lambda: f"throw {text}",
    }
    return say.get(key.rpartition(".")[2], lambda: text)()


def _touch_ups(now: Design, then: Design) -> Iterator[str]:
    """A cell that is changed by hand, or is one no more, by its address; how many, where there are more."""
    old, new = ({(t.column, t.row): t.infill for t in design.touch_ups} for design in (now, then))
    changed = [cell for cell in {**old, **new} if old.get(cell) != new.get(cell)]
    if len(changed) == 1:
        (column, row) = cell = changed[0]
        was, becomes = (
            infill_words(touched[cell], design) if cell in touched else "as arranged"
            for touched, design in ((old, now), (new, then))
        )
        yield f"column {column + 1}, row {row + 1} {was} → {becomes}"
    elif changed:
        yield f"{len(changed)} cells by hand"
    if now.mirror_touch_ups != then.mirror_touch_ups:
        yield "cells mirrored → not mirrored" if now.mirror_touch_ups else "cells not mirrored → mirrored"
