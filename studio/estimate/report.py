"""An estimate as plain JSON values: the output of the command line, and the base of what a proposal freezes.

Keys carry their units. Money is text in the currency's major unit; masses, minutes and lengths are numbers
to 0.01.
"""

from dataclasses import asdict
from decimal import Decimal
from typing import Any

from studio.estimate.result import Estimate
from studio.lattice.bill import Bill
from studio.lattice.fit import Fit
from studio.lattice.tolerance import WayError
from studio.making.plan import MakingPlan
from studio.pricing.sheet import PriceSheet

__all__ = ["report"]


def report(estimate: Estimate) -> dict[str, Any]:
    """The documented output of `manage.py estimate` (README: the command line)."""
    return {
        "title": estimate.brief.title,
        "as_of": estimate.as_of.isoformat(),
        "digest": estimate.digest,
        "fit": _fit(estimate.bill.fit),
        "size_error": {
            "across": _way(estimate.size_error.across),
            "up": _way(estimate.size_error.up),
        },
        **_bill(estimate.bill),
        **_making(estimate.plan),
        "hung_mass_g": _two(estimate.hung_mass_g),
        "hanger_load_needed_g": _two(estimate.hanger_load_needed_g),
        **_price(estimate.price),
        "price_range": estimate.price_range and _texts(asdict(estimate.price_range)),
        "working_days": estimate.dates.working_days,
        "starts_on": estimate.dates.starts_on.isoformat(),
        "printed_on": estimate.dates.printed_on.isoformat(),
        "ready_on": estimate.dates.ready_on.isoformat(),
        "held_working_days": estimate.dates.held_working_days,
        "held_on": estimate.dates.held_on.isoformat(),
        "warnings": [asdict(warning) for warning in estimate.warnings],
        "cautions": list(estimate.cautions),
    }


def _fit(fit: Fit) -> dict[str, Any]:
    return {
        **_named(fit, "lattice", "columns", "rows"),
        **_rounded(fit, "cell_side_mm", "width_mm", "height_mm", "lattice_width_mm", "lattice_height_mm"),
        "left_over_mm": [_two(side) for side in fit.left_over_mm],
        "symmetry": fit.symmetry,
    }


def _way(error: WayError) -> dict[str, Any]:
    sizes = _rounded(error, "total_mm", "systematic_mm", "random_mm")
    return {**sizes, "workings": list(error.workings)}


def _bill(bill: Bill) -> dict[str, Any]:
    whole, half, quarter = bill.cells
    told = ("size", "filament", "count", "spares")
    return {
        "cells": {"whole": whole, "half": half, "quarter": quarter, "open": bill.open_cells},
        "infills": [_named(part, "pattern", *told, "holding") for part in bill.infills],
        "sections": [
            {
                "columns": [section.column, section.column + section.columns],
                "rows": [section.row, section.row + section.rows],
                **_rounded(section, "width_mm", "height_mm"),
                **_named(section, "cells", "module"),
            }
            for section in bill.sections
        ],
        "seams": {
            "count": len(bill.seams),
            "length_mm": _two(sum(seam.length_mm for seam in bill.seams)),
            "keys": sum(seam.keys for seam in bill.seams),
            "on_site": sum(seam.on_site for seam in bill.seams),
        },
        "modules": [
            {**_rounded(module, "width_mm", "height_mm"), "sections": list(module.sections)}
            for module in bill.modules
        ],
        "other_parts": [
            {"part": part.code, **_named(part, *told)} for part in bill.parts if part.code != "infill"
        ],
        "hangers": bill.hangers,
    }


def _making(plan: MakingPlan) -> dict[str, Any]:
    return {
        "filament": [
            {
                "name": use.filament,
                **_rounded(use, "mass_g", "panel_g", "spares_g", "reprints_g"),
                "spools_to_buy": use.spools_to_buy,
            }
            for use in plan.filaments
        ],
        "plates": [
            {
                **_named(plate, "printer", "filament", "pieces"),
                **_rounded(plate, "minutes", "mass_g", "bed_share"),
            }
            for plate in plan.plates
        ],
        **_rounded(plan, "print_minutes", "reprint_minutes", "panel_mass_g"),
    }


def _price(price: PriceSheet) -> dict[str, Any]:
    found = _texts(asdict(price)) | {"labour_minutes": _two(float(price.labour_minutes))}
    order = ("currency", "labour_minutes", "lines", "client_lines", "cost", "net", "taxes", "tax", "gross")
    return {name: found[name] for name in (*order, "margin_percent", "deposits")}


def _texts(value: Any) -> Any:
    """JSON values, with money as text."""
    if isinstance(value, dict):
        return {key: _texts(part) for key, part in value.items()}
    if isinstance(value, list | tuple):
        return [_texts(part) for part in value]
    return str(value) if isinstance(value, Decimal) else value


def _named(row: object, *names: str) -> dict[str, Any]:
    return {name: getattr(row, name) for name in names}


def _rounded(row: object, *names: str) -> dict[str, float]:
    return {name: _two(getattr(row, name)) for name in names}


def _two(value: float) -> float:
    return round(float(value), 2)
