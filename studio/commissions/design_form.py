"""A design as words on the call page, and the words as a design. Fields lie under "design"."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from studio.commissions.first_design import default_patterns
from studio.document import dump, parse
from studio.drawing.figures import Units
from studio.forms import Form, flat, nested
from studio.lattice.design import Design
from studio.lattice.patterns import patterns
from studio.problem import Problem, Refused
from studio.typed_lengths import as_typed, read_lengths, shown_length

__all__ = ["LENGTHS", "WrittenDesign", "design_form", "read_design"]

LENGTHS = (
    "cell_side_mm", "strip_width_mm", "infill_strip_mm", "clearance_mm", "depth_mm", "infill_depth_mm",
    "edging_width_mm",
)  # fmt: skip
MAY_BE_ZERO = ("clearance_mm", "edging_width_mm")
KINDS = ("all over", "bands", "border and field")
MOST_BANDS = 12


@dataclass(frozen=True)
class WrittenDesign:
    """The design, and whether its words need other fields than those that were on the page."""

    design: Design
    reworded: bool


def design_form(design: Design, units: Units) -> Form:
    values = flat(dump(design), "design")
    for name in LENGTHS:
        values[f"design.{name}"] = shown_length(values[f"design.{name}"], units)
    return Form(values)


def read_design(form: Form) -> WrittenDesign:
    """Raises Refused with fields under "design"."""
    typed = {
        name.removeprefix("design."): text.strip()
        for name, text in form.values.items()
        if name.startswith("design.")
    }
    lengths = read_lengths({name: typed[name] for name in LENGTHS if name in typed}, MAY_BE_ZERO)
    raw = nested(typed | dict(lengths.mm))
    problems = list(lengths.problems)
    lattice = raw.get("lattice", "three-way")
    written = raw.get("arrangement", {})
    arrangement = _arranged(written, lattice, form["change"])
    whole = {name: raw[name] or None for name in ("columns", "rows") if name in raw}
    unread = {problem.field for problem in problems}
    values = {name: value for name, value in raw.items() if name not in unread}
    try:
        design = parse(Design, {**values, **whole, "arrangement": arrangement})
    except Refused as refused:
        problems += [as_typed(_without_kind(problem), typed) for problem in refused.problems]
    if problems:
        raise Refused(*problems).under("design")
    return WrittenDesign(design, _shape(written) != _shape(arrangement) or _moved(written, arrangement))


def _without_kind(problem: Problem) -> Problem:
    """Pydantic names the kind of arrangement within the key; the page's fields do not."""
    parts = [part for part in problem.field.split(".") if part not in KINDS]
    return Problem(".".join(parts), problem.reason, problem.remedy)


def _shape(arrangement: Mapping[str, Any]) -> tuple[str, ...]:
    """The names of an arrangement's fields, kind aside."""
    return tuple(sorted(name for name in flat(dict(arrangement)) if name != "kind"))


def _moved(written: Mapping[str, Any], arranged: Mapping[str, Any]) -> bool:
    """Whether a pattern had to give way to one of another lattice."""
    old = [infill.get("pattern") for infill in _written(written)]
    return old[: len(_written(arranged))] != [infill["pattern"] for infill in _written(arranged)][: len(old)]


def _written(arrangement: Mapping[str, Any]) -> list[Mapping[str, str]]:
    """The infills in an arrangement of whatever kind its fields are, the main one first."""
    found = [arrangement.get(name) for name in ("infill", "field", "border")]
    bands = arrangement.get("bands") or []
    found += [band.get("infill") for band in bands if isinstance(band, dict)]
    return [infill for infill in found if isinstance(infill, dict) and infill.get("filament")]


def _arranged(written: Mapping[str, Any], lattice: str, change: str) -> Mapping[str, Any]:
    """The arrangement of the kind that is chosen, from the infills that are there, whichever kind they were
    written for. `change` adds or takes away a band."""
    if not isinstance(written, dict):
        return {}
    known = {pattern.slug for pattern in patterns() if pattern.lattice == lattice}
    defaults = default_patterns("square" if lattice == "square" else "three-way")
    chosen = [
        {
            "pattern": infill.get("pattern") if infill.get("pattern") in known else defaults[index % 2],
            "filament": infill["filament"],
        }
        for index, infill in enumerate(_written(written))
    ]
    if not chosen:
        return written
    kind, second = written.get("kind"), chosen[1 % len(chosen)]
    if len(chosen) == 1:
        second = {**second, "pattern": defaults[defaults[0] == second["pattern"]]}
    if kind == "all over":
        return {"kind": kind, "infill": chosen[0]}
    if kind == "bands":
        return {
            "kind": kind,
            "direction": written.get("direction", "upright"),
            "bands": _bands(written, chosen if len(chosen) > 1 else [*chosen, second], change),
        }
    return {
        "kind": kind,
        "field": chosen[0],
        "border": second,
        "border_cells": written.get("border_cells", "2"),
    }


def _bands(written: Mapping[str, Any], chosen: list[dict[str, Any]], change: str) -> list[Mapping[str, Any]]:
    old = written.get("bands") or []
    cells = [band.get("cells", "3") for band in old if isinstance(band, dict)]
    cells += ["3"] * (len(chosen) - len(cells))
    bands: list[Mapping[str, Any]] = [
        {"infill": infill, "cells": count} for infill, count in zip(chosen, cells, strict=False)
    ]
    if change == "add band" and len(bands) < MOST_BANDS:
        bands.append({"infill": bands[0]["infill"], "cells": bands[0]["cells"]})
    if change == "remove band" and len(bands) > 1:
        bands.pop()
    return bands
