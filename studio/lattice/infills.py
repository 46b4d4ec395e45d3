"""The infills that a design names."""

from collections.abc import Callable, Iterator
from dataclasses import fields, is_dataclass, replace
from typing import Any

from studio.lattice.design import Design, Infill

__all__ = ["infills_of", "with_infills"]


def infills_of(design: Design) -> dict[str, Infill]:
    """Each infill by its field within the design, in the order in which arranging counts them: those of the
    arrangement, then those of the touch-ups."""
    parts = {"arrangement": design.arrangement, "touch_ups": design.touch_ups}
    return {field: infill for name, part in parts.items() for field, infill in _named(part, name)}


def _named(part: Any, field: str) -> Iterator[tuple[str, Infill]]:
    if isinstance(part, Infill):
        yield field, part
    elif isinstance(part, tuple):
        for index, each in enumerate(part):
            yield from _named(each, f"{field}.{index}")
    elif is_dataclass(part):
        for each in fields(part):
            yield from _named(getattr(part, each.name), f"{field}.{each.name}")


def with_infills(design: Design, change: Callable[[Infill], Infill]) -> Design:
    """The design with every infill of its arrangement and its touch-ups changed."""
    return replace(
        design, arrangement=_changed(design.arrangement, change), touch_ups=_changed(design.touch_ups, change)
    )


def _changed(part: Any, change: Callable[[Infill], Infill]) -> Any:
    if isinstance(part, Infill):
        return change(part)
    if isinstance(part, tuple):
        return tuple(_changed(each, change) for each in part)
    if is_dataclass(part) and not isinstance(part, type):
        return replace(part, **{f.name: _changed(getattr(part, f.name), change) for f in fields(part)})
    return part
