"""Hangers and feet on their page: what its tables show, how a line starts, and what was typed."""

from typing import Any, get_args

from studio.hanging.catalogue import HangerKind

__all__ = ["HANGING_ROWS", "HANGING_TABLES", "JOINTS", "holes_as_text", "typed_hanging"]

NAMED = (("text", "What", None), ("code", "Code", None))
PRICED = (("mass_g", "Grams", None), ("price", "Price", None), ("minutes", "Minutes besides", None))
HANGING_TABLES: tuple[tuple[str, str, str, tuple[tuple[str, str, Any], ...]], ...] = (
    ("hangers", "Hangers", "hanger", (
        *NAMED, ("kind", "Kind", [(kind, kind) for kind in get_args(HangerKind)]),
        ("rating_g", "Holds, g", None), ("width_mm", "Width, mm", None),
        ("needs_mm", "Needs a strip of, mm", None), ("off_wall_mm", "Off the wall, mm", None),
        ("holes_mm", "Holes from its middle, mm", None), *PRICED,
    )),
    ("feet", "Feet", "foot", (
        *NAMED, ("length_mm", "Front to back, mm", None), ("height_mm", "Raises by, mm", None), *PRICED,
    )),
)  # fmt: skip
"""Each list: its title, what one of it is called, and its columns with their choices."""
JOINTS = (
    ("key_g", "A key across a seam holds", "g"),
    ("glue_g", "A glued joint without a key holds", "g"),
    ("edging_g", "The glued edging at a hanger holds", "g"),
    ("creep_factor", "Factor for what hangs for years", ""),
)
NEW = {
    "kind": "hook", "width_mm": "20", "needs_mm": "0", "off_wall_mm": "5", "holes_mm": "0", "mass_g": "0",
    "minutes": "0", "height_mm": "0", "role": "maker",
}  # fmt: skip
HANGING_ROWS: dict[str, dict[str, Any]] = {
    kind: {name: NEW.get(name, "") for name in (*(column[0] for column in columns), "role")}
    for kind, _title, _one, columns in HANGING_TABLES
}


def holes_as_text(hangers: list[dict[str, Any]]) -> None:
    """Holes in one field, "-90, 90"."""
    for hanger in hangers:
        hanger["holes_mm"] = ", ".join(f"{hole:g}" for hole in hanger["holes_mm"])


def typed_hanging(typed: dict[str, Any], hangers: list[dict[str, Any]]) -> None:
    """What was typed, in the shape of the rate book: a joint of which nobody knows what it holds is left
    empty."""
    for hanger in hangers:
        places = str(hanger.get("holes_mm", "")).replace(";", ",").split(",")
        hanger["holes_mm"] = [place.strip().replace("−", "-") for place in places if place.strip()]
    if isinstance(joints := typed.get("joints"), dict):
        typed["joints"] = {name: text or None for name, text in joints.items()}
