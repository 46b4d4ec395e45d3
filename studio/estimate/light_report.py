"""The plan of a light as plain JSON values, without prices. Keys carry their units; numbers are to 0.01."""

from typing import Any

from studio.estimate.lighting import running
from studio.light.feeds import Feed
from studio.light.plan import LightPlan
from studio.pricing.terms import Terms

__all__ = ["light_report"]


def light_report(light: LightPlan, terms: Terms) -> dict[str, Any]:
    """Feeds and supplies are numbered from 1. `mains_w` and `lumens` are None where the catalogue does not
    say, `cost_a_year` while nobody knows the client's price of a kilowatt hour. `places_mm` are x and y of
    both ends of each piece, from the panel's lower left corner, edging included, the fed end first."""
    strip, runs = light.strip, running(light, terms)
    return {
        "layout": light.layout,
        "strip": strip.text,
        "volts": _two(strip.volts),
        "watts_per_m": _two(strip.watts_per_m),
        "length_mm": _two(light.length_mm),
        "watts": _two(light.watts),
        "mains_w": _two(light.mains_w),
        "hours_a_day": float(runs.hours_a_day),
        "kwh_a_year": float(runs.kwh),
        "cost_a_year": None if runs.cost is None else str(runs.cost),
        "lumens": _two(light.lumens),
        "pitch_mm": _two(light.pitch_mm),
        "depth_mm": _two(light.depth_mm),
        "feeds": [_feed(number, feed) for number, feed in enumerate(light.feeds, 1)],
        "supplies": [
            {
                "supply": circuit.supply.text,
                "controller": circuit.controller and circuit.controller.text,
                "feeds": [feed + 1 for feed in circuit.feeds],
                "watts": _two(circuit.load_w),
            }
            for circuit in light.circuits
        ],
        "connectors": [{"text": each.text, "count": number} for each, number in light.connectors],
    }


def _feed(number: int, feed: Feed) -> dict[str, Any]:
    return {
        "number": number,
        "module": feed.module,
        "pieces_mm": [_two(piece.steps * feed.length_mm / feed.steps) for piece in feed.pieces],
        "places_mm": [[_two(at) for at in (*piece.start, *piece.end)] for piece in feed.pieces],
        "length_mm": _two(feed.length_mm),
        "watts": _two(feed.watts),
        "amps": _two(feed.amps),
        "lead": feed.lead.text,
        "lead_mm": _two(feed.lead_mm + feed.links_mm),
        "drop_v": _two(feed.drop_v),
        "drop_percent": _two(feed.drop_percent),
        "fuse": feed.fuse.text,
    }


def _two(value: float | None) -> float | None:
    return None if value is None else round(value, 2)
