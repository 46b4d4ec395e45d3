"""The infills that a design names."""

from collections.abc import Callable
from dataclasses import fields, is_dataclass, replace
from typing import Any, assert_never

from studio.lattice.design import (
    AllOver,
    Alternating,
    Arrangement,
    Bands,
    BorderAndField,
    Design,
    Drift,
    Infill,
    Rings,
    Rosettes,
)

__all__ = ["infills_of", "with_infills"]


def infills_of(design: Design) -> dict[str, Infill]:
    """Each infill by its field within the design, in the order in which arranging counts them: those of the
    arrangement, then those of the touch-ups."""
    arranged = {f"arrangement.{field}": infill for field, infill in _arranged(design.arrangement).items()}
    return arranged | {f"touch_ups.{i}.infill": touch.infill for i, touch in enumerate(design.touch_ups)}


def _arranged(arrangement: Arrangement) -> dict[str, Infill]:
    match arrangement:
        case AllOver():
            return {"infill": arrangement.infill}
        case Bands():
            return {f"bands.{i}.infill": band.infill for i, band in enumerate(arrangement.bands)}
        case BorderAndField():
            return {"border": arrangement.border, "field": arrangement.field}
        case Rings():
            return {f"rings.{i}.infill": band.infill for i, band in enumerate(arrangement.rings)}
        case Rosettes():
            return {"rosette": arrangement.rosette, "field": arrangement.field}
        case Drift() | Alternating():
            return {"first": arrangement.first, "second": arrangement.second}
        case _:
            assert_never(arrangement)


def with_infills(design: Design, change: Callable[[Infill], Infill]) -> Design:
    """The design with every infill of its arrangement and its touch-ups changed."""
    return replace(
        design,
        arrangement=_changed(design.arrangement, change),
        touch_ups=_changed(design.touch_ups, change),
    )


def _changed(part: Any, change: Callable[[Infill], Infill]) -> Any:
    if isinstance(part, Infill):
        return change(part)
    if isinstance(part, tuple):
        return tuple(_changed(each, change) for each in part)
    if is_dataclass(part) and not isinstance(part, type):
        return replace(part, **{f.name: _changed(getattr(part, f.name), change) for f in fields(part)})
    return part
