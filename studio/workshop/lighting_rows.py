"""The catalogue of lighting on its page: what its tables show, how a line starts, and what was typed."""

from typing import Any

from studio.document import dump
from studio.light.catalogue import KINDS, Lighting

__all__ = ["LIGHTING_ROWS", "LIGHTING_RULES", "LIGHTING_TABLES", "typed_lighting"]

JOINS = (("strips", "strips of a run"), ("modules", "a lead and its module"))
CROSS_SECTIONS = tuple((size, f"{size} mm²") for size in ("0.5", "0.75", "1", "1.5"))
NAMED = (("text", "What", None), ("code", "Code", None))
PRICED = (("price", "Price", None),)

LIGHTING_TABLES: tuple[tuple[str, str, str, tuple[tuple[str, str, Any], ...]], ...] = (
    ("strips", "Light strips", "strip", (
        *NAMED, ("volts", "Volts", None), ("watts_per_m", "W/m", None), ("cut_mm", "Cut every, mm", None),
        ("ohms_per_m", "Ohms a metre, there and back", None),
        ("longest_run_mm", "Longest run from one feed, mm", None), ("width_mm", "Width, mm", None),
        ("thick_mm", "Thickness, mm", None), ("lumens_per_m", "lm/m", None),
        ("colour_temperature_k", "Colour temperature, K", None),
        ("colour_rendering", "Colour rendering", None), ("leds_per_m", "LEDs a metre", None),
        ("mass_g_per_m", "Grams a metre", None), ("price", "Price of a metre", None),
    )),
    ("supplies", "Supplies", "supply", (
        *NAMED, ("volts", "Volts", None), ("watts", "Watts", None),
        ("efficiency_percent", "Efficiency, %", None), *PRICED,
    )),
    ("leads", "Leads", "lead", (
        *NAMED, ("cross_section_mm2", "Cross-section", CROSS_SECTIONS), ("amps", "Carries, A", None),
        ("price", "Price of a metre", None),
    )),
    ("fuses", "Fuses", "fuse", (*NAMED, ("amps", "Amperes", None), *PRICED)),
    ("controllers", "Dimmers", "dimmer", (
        *NAMED, ("volts", "Volts", None), ("amps", "Carries, A", None), *PRICED,
    )),
    ("connectors", "Connectors", "connector", (*NAMED, ("joins", "Between", JOINS), *PRICED)),
    ("softens", "What softens", "material", (
        ("material", "Material", None), ("deg_c", "Softens at, °C", None),
    )),
)  # fmt: skip
"""Each list: its title, what one of it is called, and its columns with their choices."""

LIGHTING_RULES = (
    ("drop_percent", "Lost on the way at most", "%"),
    ("load_percent", "Supplies and fuses are loaded up to", "%"),
    ("limited_va", "A limited supply has at most, VA", ""),
    ("pitch_factor", "Rows apart, times their distance to the diffuser", ""),
    ("diffuser_mm", "Strips to diffuser", "mm"),
    ("least_diffuser_mm", "No nearer than", "mm"),
    ("margin_mm", "Strips to edging", "mm"),
    ("lead_mm", "Supply to the panel’s corner", "mm"),
    ("conductor_deg_c", "Copper as warm as, °C", ""),
    ("most_w_per_m2", "Warned above, W on a square metre", ""),
    ("room_deg_c", "Room as warm as, °C", ""),
    ("surface_m2_k_per_w", "Resistance of the face, m²K/W", ""),
    ("softening_margin_k", "Below softening, K", ""),
)
"""Figures by which light is chosen, with their units."""

NEW = {
    "volts": "24", "width_mm": "10", "thick_mm": "3", "mass_g_per_m": "0", "cross_section_mm2": "0.5",
    "joins": "strips",
}  # fmt: skip
LIGHTING_ROWS: dict[str, dict[str, Any]] = {
    f"lighting.{kind}": {name: NEW.get(name, "") for name, _label, _choices in columns}
    for kind, _title, _one, columns in LIGHTING_TABLES
}
MAY_BE_UNKNOWN = (
    "ohms_per_m", "longest_run_mm", "lumens_per_m", "colour_temperature_k", "colour_rendering", "leds_per_m",
    "efficiency_percent",
)  # fmt: skip


def typed_lighting(typed: Any, before: Lighting) -> Any:
    """What was typed, in the shape of the catalogue: a list without a line on the page is empty, rules that
    are not on it stay as they were."""
    if not isinstance(typed, dict):
        return typed
    found: dict[str, Any] = {kind.partition(".")[2]: [] for kind in LIGHTING_ROWS} | typed
    for kind in KINDS:
        rows = found[kind] if isinstance(found[kind], list) else []
        found[kind] = [_known(row) if isinstance(row, dict) else row for row in rows]
    rules = typed.get("rules")
    found["rules"] = {**dump(before.rules), **rules} if isinstance(rules, dict) else dump(before.rules)
    return found


def _known(row: dict[str, Any]) -> dict[str, Any]:
    return {name: None if name in MAY_BE_UNKNOWN and not text else text for name, text in row.items()}
