"""What sets one design apart from another, in a word or two."""

from collections.abc import Iterator

from studio.commissions.words import colour_word
from studio.drawing.figures import Units, size_text
from studio.lattice.design import AllOver, Arrangement, Bands, Design, Infill
from studio.lattice.patterns import pattern

__all__ = ["difference"]


def difference(design: Design, other: Design, units: Units = "metric") -> str:
    """The first thing in which `design` differs from `other`, the most visible first: "square", "bordered",
    "60 mm cells", "lit". Empty when they are alike."""
    return next(_differences(design, other, units), "" if design == other else "in detail")


def _differences(design: Design, other: Design, units: Units) -> Iterator[str]:
    if design.lattice != other.lattice:
        yield design.lattice
    if design.arrangement != other.arrangement:
        yield from _arrangements(design, other)
    if design.cell_side_mm != other.cell_side_mm:
        yield f"{size_text(float(design.cell_side_mm), units)} cells"
    if design.lit != other.lit:
        yield "lit" if design.lit else "unlit"
    if design.lattice_filament != other.lattice_filament:
        yield f"{colour_word(design.lattice_filament)} lattice"
    if design.depth_mm != other.depth_mm:
        yield f"{size_text(float(design.depth_mm), units)} deep"


def _arrangements(design: Design, other: Design) -> Iterator[str]:
    mine, theirs = infills(design.arrangement), infills(other.arrangement)
    if design.arrangement.kind != other.arrangement.kind:
        yield KINDS[design.arrangement.kind]
    known = {infill.pattern for infill in theirs}
    yield from (pattern(i.pattern, design.lattice).name.lower() for i in mine if i.pattern not in known)
    colours = {infill.filament for infill in theirs}
    yield from (colour_word(i.filament) for i in mine if i.filament not in colours)
    yield "rearranged"


KINDS = {"all over": "all over", "bands": "banded", "border and field": "bordered"}


def infills(arrangement: Arrangement) -> tuple[Infill, ...]:
    """The infills of an arrangement, the main one first."""
    if isinstance(arrangement, AllOver):
        return (arrangement.infill,)
    if isinstance(arrangement, Bands):
        return tuple(band.infill for band in arrangement.bands)
    return arrangement.field, arrangement.border
