"""What the fields of the workshop's pages can be set to, and what they are called."""

from typing import Any, get_args

from studio.pricing.headings import TEXTS
from studio.pricing.rate_book import Heading, Per
from studio.pricing.tax_customs import due_with_payments
from studio.workshop.hanging_rows import HANGING_TABLES, JOINTS
from studio.workshop.lighting_rows import LIGHTING_RULES, LIGHTING_TABLES
from studio.workshop.own_recipes import EXAMPLES

__all__ = ["CHOICES", "tax_points"]

PRINTER = (
    ("name", "Name"), ("count", "How many of them"), ("power_w", "Power, W"),
    ("heat_up_w", "Power while heating up, W"),
    ("bed_width_mm", "Bed width, mm"), ("bed_depth_mm", "Bed depth, mm"), ("height_mm", "Height, mm"),
    ("margin_mm", "Margin of the bed, mm"), ("gap_mm", "Gap between parts, mm"),
    ("start_g", "Start of a plate, g"), ("change_minutes", "Change of filament, min"),
    ("purge_g", "Purge at a change, g"), ("heat_up_minutes", "Heating up, min"),
    ("longest_run_minutes", "Longest run, min"),
    ("life_hours", "Life, h"), ("upkeep_per_hour", "Upkeep of an hour"), ("purchase", "Purchase price"),
    ("scrap_value", "Scrap value"),
)  # fmt: skip
RECIPE = (
    ("layer_mm", "Layer, mm"), ("first_layer_mm", "First layer, mm"), ("bead_mm", "Bead, mm"),
    ("walls", "Walls"), ("bottom_layers", "Bottom layers"), ("top_layers", "Top layers"),
    ("core_density", "Core density, 0 to 1"), ("outer_wall_mm_s", "Outer wall, mm/s"),
    ("inner_wall_mm_s", "Inner wall, mm/s"), ("fill_mm_s", "Filling, mm/s"), ("travel_mm_s", "Travel, mm/s"),
    ("first_layer_mm_s", "First layer, mm/s"), ("corner_mm_s", "Through corners, mm/s"),
    ("acceleration_mm_s2", "Acceleration, mm/s²"), ("max_flow_mm3_s", "Largest flow, mm³/s"),
    ("min_layer_s", "Least time of a layer, s"), ("retraction_s", "Retraction, s"),
    ("nozzle_c", "Nozzle, °C"), ("bed_c", "Bed, °C"),
)  # fmt: skip
HINTS = {
    "power_w": "On average while it prints.",
    "heat_up_w": "Until bed and nozzle are hot.",
    "margin_mm": "Left free on every side.",
    "start_g": "Laid beside the pieces before they begin.",
    "change_minutes": "Until another filament is on.",
    "purge_g": "Of the new filament, until the old one is out.",
    "heat_up_minutes": "Before every plate, with levelling.",
    "longest_run_minutes": "No plate takes longer: 900 are 15 hours.",
    "min_layer_s": "Cooling: few small pieces are slow because of it.",
    "corner_mm_s": "Kept where a move turns.",
    "nozzle_c": "For the workshop; nothing is computed from it.",
    "bed_c": "For the workshop; nothing is computed from it.",
}
KINDS: dict[Heading, str] = {
    "panel": "goods", "light": "goods", "backing": "goods", "delivery": "delivery", "hanging": "installation",
}  # fmt: skip
"""Of work, as tax rules tell it apart: work on site is under the hanging."""
CHOICES: dict[str, Any] = {
    "pers": [(per, per) for per in get_args(Per)],
    "diameters": (("1.75", "1.75"), ("2.85", "2.85")),
    "stages": (
        ("before", "before printing"), ("making", "while making"), ("after", "after making"),
        ("site", "on site"),
    ),
    "groups": [(group, group) for group in ("panel", "light", "backing", "delivery", "hanging")],
    "bases": (("margin", "margin, a share of the price"), ("markup", "markup, a share of the cost")),
    "ways": (("nearest", "to the nearest step"), ("up", "up")),
    "headings": tuple((heading, f"{text} ({KINDS[heading]})") for heading, text in TEXTS.items()),
    "treatments": (
        ("taxed", "taxed"), ("exempt", "exempt"), ("reverse charge", "reverse charge"),
        ("untaxed", "we are not registered"),
    ),
    "tax_ways": (("per category", "once for each tax"), ("per line", "on every line")),
    "printer_fields": [(name, label, HINTS.get(name, "")) for name, label in PRINTER],
    "recipe_fields": [(f"recipe.{name}", label, HINTS.get(name, "")) for name, label in RECIPE],
    "example_recipes": tuple(EXAMPLES),
    "lighting_tables": LIGHTING_TABLES,
    "lighting_rules": LIGHTING_RULES,
    "hanging_tables": HANGING_TABLES,
    "hanging_joints": JOINTS,
}  # fmt: skip


def tax_points(locale: str) -> tuple[tuple[str, str], ...]:
    """What may be said of when tax is due, in a studio that writes like `locale`."""
    ways = {True: "with each payment", False: "at the hand-over"}
    usual = ways[due_with_payments(None, locale)]
    return (("", f"usual here: {usual}"), ("on", ways[True]), ("off", ways[False]))
