"""What sets one design apart from another, in a word or two."""

from collections.abc import Iterator

from studio.commissions.words import colour_word, pattern_word
from studio.forms import plain
from studio.lattice.design import Design, Infill
from studio.lattice.infills import infills_of
from studio.voice import PLAIN, Voice

__all__ = ["difference"]

KINDS = {
    "all over": "all over",
    "border and field": "bordered",
    "bands": "banded",
    "rings": "ringed",
    "drift": "drifting",
    "rosettes": "rosettes",
    "alternating": "by turns",
}


def difference(design: Design, other: Design, voice: Voice = PLAIN) -> str:
    """The first thing in which `design` differs from `other`, the most visible first: "square", "bordered",
    "60 mm cells", "lit". Empty when they are alike."""
    return next(_differences(design, other, voice), "" if design == other else "in detail")


def _differences(design: Design, other: Design, voice: Voice) -> Iterator[str]:
    if design.lattice != other.lattice:
        yield design.kind.spoken
    elif design.kind.angled and design.angle_deg != other.angle_deg:
        yield f"{plain(design.angle_deg)}° cells"
    if design.arrangement != other.arrangement:
        yield from _arrangements(design, other)
    if design.cell_side_mm != other.cell_side_mm:
        yield f"{voice.length(design.cell_side_mm)} cells"
    if design.touch_ups != other.touch_ups:
        yield "cells by hand" if design.touch_ups else "no cells by hand"
    if design.lit != other.lit:
        yield "lit" if design.lit else "unlit"
    if design.lattice_filament != other.lattice_filament:
        yield f"{colour_word(design.lattice_filament)} lattice"
    if design.depth_mm != other.depth_mm:
        yield f"{voice.length(design.depth_mm)} deep"


def _arrangements(design: Design, other: Design) -> Iterator[str]:
    mine, theirs = _infills(design), _infills(other)
    if design.arrangement.kind != other.arrangement.kind:
        yield KINDS[design.arrangement.kind]
    known = {infill.pattern for infill in theirs}
    yield from (pattern_word(infill, design) for infill in mine if infill.pattern not in known)
    colours = {infill.filament for infill in theirs}
    yield from (colour_word(infill.filament) for infill in mine if infill.filament not in colours)
    yield "rearranged"


def _infills(design: Design) -> list[Infill]:
    """The infills of a design, the main one first."""
    found = infills_of(design)
    return [found[name] for name in sorted(found, key=lambda name: name != "arrangement.field")]
