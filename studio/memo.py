"""Every memo of the whole process, in one place: what was worked out once is kept by the values that it was
worked out from. Each is bounded. A memo that belongs to one search or one call is passed in instead
(`estimate.priced.Made`). Pure."""

from collections.abc import Callable
from functools import lru_cache
from typing import ParamSpec, TypeVar

__all__ = ["MOST_KEPT", "memo"]

P = ParamSpec("P")
R = TypeVar("R")

MOST_KEPT = {
    "document._adapter": 64,
    # geometry: one entry for each distinct shape at a size
    "lattice.cell.cell_polygon": 1024,
    "lattice.cut._gaps_drawn": 1024,
    "lattice.cut.cut": 4096,
    "lattice.fit._axes": 4096,
    "lattice.infill_parts._face": 512,
    "lattice.least_side.least_side_of_form_mm": 2048,
    "lattice.cell.inradius": 1024,
    "lattice.cell.opening_polygon": 1024,
    "lattice.patterns._by_slug": 64,
    "lattice.piece.piece_for": 2048,
    "lattice.sound.unsound": 256,
    # making: tool paths and places on beds by outline, groups of plates by what is in them
    "making.chances._normal": 4,
    "making.chances._shares": 16,
    "making.days._zone": 16,
    "making.plate_ways._ways": 128,
    "making.packing._corners": 4096,
    "making.packing._lies": 4096,
    "making.packing._lies_at": 4096,
    "making.packing._outline_mm2": 4096,
    "making.packing._turns": 4096,
    "making.toolpath._fill_lines": 8,  # whole drawings of lines
    "making.toolpath._load": 2048,
    "making.working_days._holidays": 256,
    "money._in_use": 1,
    "money.minor_digits": 256,
    "money.minor_unit": 256,
    "voice._babel": 64,
    "voice._english": 64,
    "estimate.makings._factors": 64,
    "estimate.ranges._fits": 32,
    "estimate.spreads._experience": 32,
    "drawing.colour.needs_edge": 256,
    "drawing.pdf_content._drawn": 1024,
    "drawing.paths.piece_path": 1024,
    "drawing.swatch.swatch_side_mm": 512,
    "proposals.pdf._style": 4,
    "commissions.budget.running._kept": 8,  # by the digest of the question, with what was made
    "commissions.estimating._dates": 512,  # by the digest of the question
    "commissions.estimating._estimated": 16,  # likewise, whole panels
    "proposals.live_days._scheduled": 256,
    "proposals.coming._most": 256,
    # rows that never change, by their text
    "workshop.books.book_of_text": 64,
    "workshop.shop._read_calendar": 16,
    "workshop.own_patterns._read": 256,
    "workshop.pattern_facts.facts": 512,
    "workshop.pattern_facts.judged": 256,
}
"""The most entries of each; the least recently used go first."""


def memo(function: Callable[P, R]) -> Callable[P, R]:
    """`function` with its results kept. Arguments are compared by value. Raises KeyError where the table has
    no name for it."""
    name = f"{function.__module__}.{function.__qualname__}".removeprefix("studio.")
    return lru_cache(maxsize=MOST_KEPT[name])(function)  # type: ignore[return-value]
