"""An estimate as plain JSON values: the output of the command line, and the base of what a proposal freezes.

Keys carry their units. Money is text in the currency's major unit; masses, minutes and lengths are numbers
to 0.01.
"""

from collections.abc import Mapping
from dataclasses import asdict
from decimal import Decimal
from typing import Any

from studio.estimate.result import Estimate
from studio.lattice.bill import Bill
from studio.lattice.fit import Fit
from studio.lattice.tolerance import WayError
from studio.making.plan import MakingPlan
from studio.pricing.sheet import Deposited, PriceLine, PriceSheet

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
        "price_range": _range(estimate),
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
        "lattice": fit.lattice,
        "columns": fit.columns,
        "rows": fit.rows,
        "cell_side_mm": _two(fit.cell_side_mm),
        "width_mm": _two(fit.width_mm),
        "height_mm": _two(fit.height_mm),
        "lattice_width_mm": _two(fit.lattice_width_mm),
        "lattice_height_mm": _two(fit.lattice_height_mm),
        "left_over_mm": [_two(side) for side in fit.left_over_mm],
        "symmetry": fit.symmetry,
    }


def _way(error: WayError) -> dict[str, Any]:
    return {
        "total_mm": _two(error.total_mm),
        "systematic_mm": _two(error.systematic_mm),
        "random_mm": _two(error.random_mm),
        "workings": list(error.workings),
    }


def _bill(bill: Bill) -> dict[str, Any]:
    whole, half, quarter = bill.cells
    return {
        "cells": {"whole": whole, "half": half, "quarter": quarter, "open": bill.open_cells},
        "infills": [
            {
                "pattern": part.pattern,
                "size": part.size,
                "filament": part.filament,
                "count": part.count,
                "spares": part.spares,
                "holding": part.holding,
            }
            for part in bill.infills
        ],
        "sections": [
            {
                "columns": [section.column, section.column + section.columns],
                "rows": [section.row, section.row + section.rows],
                "width_mm": _two(section.width_mm),
                "height_mm": _two(section.height_mm),
                "cells": section.cells,
                "module": section.module,
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
            {"width_mm": _two(m.width_mm), "height_mm": _two(m.height_mm), "sections": list(m.sections)}
            for m in bill.modules
        ],
        "other_parts": [
            {
                "part": part.code,
                "size": part.size,
                "filament": part.filament,
                "count": part.count,
                "spares": part.spares,
            }
            for part in bill.parts
            if part.code != "infill"
        ],
        "hangers": bill.hangers,
    }


def _making(plan: MakingPlan) -> dict[str, Any]:
    return {
        "filament": [
            {
                "name": use.filament,
                "mass_g": _two(use.mass_g),
                "panel_g": _two(use.panel_g),
                "spares_g": _two(use.spares_g),
                "reprints_g": _two(use.reprints_g),
                "spools_to_buy": use.spools_to_buy,
            }
            for use in plan.filaments
        ],
        "plates": [
            {
                "printer": plate.printer,
                "filament": plate.filament,
                "pieces": plate.pieces,
                "minutes": _two(plate.minutes),
                "mass_g": _two(plate.mass_g),
                "bed_share": _two(plate.bed_share),
            }
            for plate in plan.plates
        ],
        "print_minutes": _two(plan.print_minutes),
        "reprint_minutes": _two(plan.reprint_minutes),
        "panel_mass_g": _two(plan.panel_mass_g),
    }


def _price(price: PriceSheet) -> dict[str, Any]:
    return {
        "currency": price.currency,
        "labour_minutes": _two(float(price.labour_minutes)),
        "lines": [_line(line) for line in price.lines],
        "client_lines": [_texts(asdict(line)) for line in price.client_lines],
        "cost": str(price.cost),
        "net": str(price.net),
        "taxes": [_texts(asdict(line)) for line in price.taxes],
        "tax": str(price.tax),
        "gross": str(price.gross),
        "margin_percent": str(price.margin_percent),
        "deposits": [_deposit(deposit) for deposit in price.deposits],
    }


def _deposit(deposit: Deposited) -> dict[str, Any]:
    return _texts(asdict(deposit)) | {"taxes": [_texts(asdict(line)) for line in deposit.taxes]}


def _line(line: PriceLine) -> dict[str, Any]:
    return {
        "code": line.code,
        "text": line.text,
        "group": line.group,
        "quantity": str(line.quantity),
        "unit": line.unit,
        "unit_price": str(line.unit_price),
        "amount": str(line.amount),
        "working": {
            "formula": line.working.formula,
            "inputs": [asdict(item) for item in line.working.inputs],
        },
    }


def _range(estimate: Estimate) -> dict[str, list[str]] | None:
    found = estimate.price_range
    if found is None:
        return None
    return {"net": [str(amount) for amount in found.net], "gross": [str(amount) for amount in found.gross]}


def _texts(row: Mapping[str, Any]) -> dict[str, Any]:
    return {key: str(value) if isinstance(value, Decimal) else value for key, value in row.items()}


def _two(value: float) -> float:
    return round(float(value), 2)
