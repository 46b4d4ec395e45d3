"""An estimate as plain JSON values: the output of the command line, and what of it a client may have.

Keys carry their units. Money is text in the currency's major unit; masses, minutes and lengths are numbers
to 0.01.
"""

from dataclasses import asdict
from decimal import Decimal
from typing import Any

from studio.estimate.light_report import light_report
from studio.estimate.result import Estimate, PriceRange
from studio.hanging.plan import HangingPlan
from studio.hanging.standing import Standing
from studio.hanging.statics import newtons
from studio.lattice.bill import Bill
from studio.lattice.drawn_symmetry import drawn_symmetry
from studio.lattice.fit import Fit
from studio.lattice.tolerance import WayError
from studio.making.plan import MakingPlan
from studio.pricing.sheet import PriceSheet

__all__ = ["for_client", "named", "report", "rounded", "texts", "two"]

FOR_CLIENT = (
    "as_of", "fit", "cells", "infills", "sections", "seams", "modules", "other_parts", "hangers",
    "panel_mass_g", "hung_mass_g", "hanger_load_needed_g", "light",
    "currency", "client_lines", "lines_with_tax", "net", "taxes", "tax", "gross", "deposits", "price_range",
    "working_days", "starts_on", "ready_on", "held_working_days", "held_on",
    "hung_from", "site_days", "cautions",
)  # fmt: skip
"""What is promised to a client or may be known to one; everything that is not named is the studio's own."""


def report(estimate: Estimate) -> dict[str, Any]:
    """The documented output of `manage.py estimate` (README: the command line)."""
    dates = estimate.dates
    return {
        "title": estimate.brief.title,
        "as_of": estimate.as_of.isoformat(),
        "digest": estimate.digest,
        "fit": {**_fit(estimate.bill.fit), "symmetry": drawn_symmetry(estimate.composition)},
        "size_error": {
            "across": _way(estimate.size_error.across),
            "up": _way(estimate.size_error.up),
        },
        **_bill(estimate.bill),
        **_making(estimate.plan),
        "hung_mass_g": two(estimate.hung_mass_g),
        "hanger_load_needed_g": two(estimate.hanger_load_needed_g),
        "light": estimate.light and light_report(estimate.light, estimate.brief.terms),
        "hanging": estimate.hanging and _hanging(estimate.hanging),
        "standing": estimate.standing and _standing(estimate.standing),
        **_price(estimate.price),
        "price_range": estimate.price_range and _range(estimate.price_range),
        "working_days": dates.working_days,
        "starts_on": dates.starts_on.isoformat(),
        "printed_on": dates.printed_on.isoformat(),
        "ready_on": dates.ready_on.isoformat(),
        "held_working_days": dates.held_working_days,
        "held_on": dates.held_on.isoformat(),
        "holds_percent": dates.holds_percent,
        "hung_from": dates.hung_from and dates.hung_from.isoformat(),
        "site_days": dates.site_days,
        "waits": [asdict(wait) for wait in dates.waits],
        "warnings": [asdict(warning) for warning in estimate.warnings],
        "cautions": list(estimate.cautions),
    }


def for_client(estimate: Estimate) -> dict[str, Any]:
    """The part of the report that tells nothing of cost, margin, minutes or rates; the reason of a discount
    is in its lines' texts."""
    found = report(estimate)
    return {name: found[name] for name in FOR_CLIENT}


def _fit(fit: Fit) -> dict[str, Any]:
    return {
        **named(fit, "lattice", "columns", "rows"),
        **rounded(fit, "cell_side_mm", "width_mm", "height_mm", "lattice_width_mm", "lattice_height_mm"),
        "left_over_mm": [two(side) for side in fit.left_over_mm],
    }


def _hanging(plan: HangingPlan) -> dict[str, Any]:
    """Places are mm from the panel's lower left crossing, x to the right, y up."""
    return {
        "hanger": plan.hanger.code,
        "projection_mm": two(plan.projection_mm),
        "modules": [
            {
                "mass_g": two(each.hung.mass_g),
                "centre_mm": [two(each.hung.x_mm), two(each.hung.y_mm)],
                "hangers_mm": [[two(x), two(each.places.up_mm)] for x in each.places.across_mm],
                "on": each.places.on,
                **rounded(each, "load_g", "needed_g", "hole_load_g", "moment_nmm", "pull_n"),
                "load_n": two(newtons(each.load_g)),
            }
            for each in plan.modules
        ],
        "joints": [
            {"what": each.what, **rounded(each, "load_g", "needed_g"), "rating_g": each.rating_g}
            for each in plan.joints
        ],
        "notes": list(plan.notes),
    }


def _standing(found: Standing) -> dict[str, Any]:
    return {
        "foot": found.foot.code,
        **named(found, "feet", "tied"),
        **rounded(found, "mass_g", "centre_mm", "foot_mm", "tips_at_deg"),
        "notes": list(found.notes),
    }


def _way(error: WayError) -> dict[str, Any]:
    sizes = rounded(error, "total_mm", "systematic_mm", "random_mm")
    return {**sizes, "workings": list(error.workings)}


def _bill(bill: Bill) -> dict[str, Any]:
    whole, half, quarter = bill.cells
    told = ("size", "filament", "count", "spares")
    return {
        "cells": {"whole": whole, "half": half, "quarter": quarter, "open": bill.open_cells},
        "infills": [named(part, "pattern", *told, "holding") for part in bill.infills],
        "sections": [
            {
                "columns": [section.column, section.column + section.columns],
                "rows": [section.row, section.row + section.rows],
                **rounded(section, "width_mm", "height_mm"),
                **named(section, "cells", "module"),
            }
            for section in bill.sections
        ],
        "seams": {
            "count": len(bill.seams),
            "length_mm": two(sum(seam.length_mm for seam in bill.seams)),
            "keys": sum(seam.keys for seam in bill.seams),
            "on_site": sum(seam.on_site for seam in bill.seams),
        },
        "modules": [
            {**rounded(module, "width_mm", "height_mm"), "sections": list(module.sections)}
            for module in bill.modules
        ],
        "other_parts": [
            {"part": part.code, **named(part, *told)} for part in bill.parts if part.code != "infill"
        ],
        "hangers": bill.hangers,
    }


def _making(plan: MakingPlan) -> dict[str, Any]:
    return {
        "filament": [
            {
                "name": use.filament,
                **rounded(use, "mass_g", "panel_g", "spares_g", "starts_g", "purge_g", "reprints_g"),
                "spools_to_buy": use.spools_to_buy,
            }
            for use in plan.filaments
        ],
        "plates": [
            {
                **named(plate, "printer", "filament", "pieces"),
                **rounded(plate, "minutes", "mass_g", "bed_share"),
            }
            for plate in plan.plates
        ],
        **rounded(plan, "print_minutes", "reprint_minutes", "panel_mass_g"),
    }


def _price(price: PriceSheet) -> dict[str, Any]:
    found = texts(asdict(price)) | {"labour_minutes": two(float(price.labour_minutes))}
    for lines in (found["taxes"], *(part["taxes"] for part in found["deposits"])):
        lines[:] = [_told(line) for line in lines]
    order = (
        "currency", "labour_minutes", "lines", "client_lines", "lines_with_tax", "cost", "net", "taxes",
        "tax", "gross", "margin_percent", "deposits",
    )  # fmt: skip
    return {name: found[name] for name in order}


def _told(tax: dict[str, Any]) -> dict[str, Any]:
    """What there is to say of a tax, so that one that is like any other has the keys that it always had."""
    usual = {"parts": [], "treatment": "taxed", "reason": ""}
    return {name: value for name, value in tax.items() if name not in usual or value != usual[name]}


def _range(found: PriceRange) -> dict[str, Any]:
    masses = [two(mass_g) for mass_g in found.mass_g]
    prices = texts({"net": found.net, "gross": found.gross})
    return {**prices, "masses_g": masses, "fits": found.fits, "whole": found.whole}


def texts(value: Any) -> Any:
    """JSON values, with money as text."""
    if isinstance(value, dict):
        return {key: texts(part) for key, part in value.items()}
    if isinstance(value, list | tuple):
        return [texts(part) for part in value]
    return str(value) if isinstance(value, Decimal) else value


def named(row: object, *names: str) -> dict[str, Any]:
    return {name: getattr(row, name) for name in names}


def rounded(row: object, *names: str) -> dict[str, float]:
    return {name: two(getattr(row, name)) for name in names}


def two(value: float) -> float:
    return round(float(value), 2)
