"""What a workshop needs to make an estimated panel, as plain JSON values, with nothing left to work out.

Keys carry their units; lengths are millimetres to 0.01, y up. People's minutes are exact text, so that they
add up to those of the price. No money is in it.

In the panel the lower left crossing of the outer strips' centre lines is the origin: outlines of sections lie
there as they are, those of pieces and of the lattice's openings once they are moved by their cell's (x, y).
On a plate, a piece at [x, y, degrees] is its part's rings, turned by so much anticlockwise and moved until
the lower left corner of their box is at (x, y) from that of the usable bed.
"""

from collections.abc import Iterable, Iterator
from decimal import Decimal
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon

from studio.document import dump
from studio.estimate.held import with_held
from studio.estimate.light_report import light_report
from studio.estimate.report import named, rounded, two
from studio.estimate.result import Estimate
from studio.lattice.bill import Bill
from studio.lattice.composition import SHAPES, Composition
from studio.lattice.infill_parts import size_of
from studio.lattice.section_parts import kinds_of, outline_of
from studio.lattice.sections import section_of
from studio.making.plan import MakingPlan, Plate, lay_out
from studio.pricing.labour import minutes_of, stage_of
from studio.pricing.quantities import Quantities, count
from studio.pricing.rate_book import RateBook

__all__ = ["making_report"]

Points = NDArray[np.float64]
HALF_TURN = 180


def making_report(estimate: Estimate, book: RateBook) -> dict[str, Any]:
    """`book` is the one that the estimate was made with."""
    bill, plan, brief = estimate.bill, estimate.plan, estimate.brief
    counted = count(bill, plan, brief.design, brief.terms, estimate.light)
    book = with_held(book, estimate.hanging, estimate.standing)
    road_days = estimate.dates.road_days
    return {
        **({"road_days": road_days} if road_days else {}),
        "labour": list(_labour(counted, book)),
        "van_days": estimate.dates.site_days,
        "holds_percent": estimate.dates.holds_percent,
        "printed_on": estimate.dates.printed_on.isoformat(),
        "printer_minutes": list(_printer_minutes(plan, book)),
        "filaments": [_filament(use) for use in plan.filaments],
        "bought": [
            {**named(line, "code", "text", "unit"), "quantity": str(line.quantity)}
            for line in estimate.price.lines
            if line.group == "bought-in"
        ],
        "parts": list(_parts(bill)),
        "light": estimate.light and _light(light_report(estimate.light, brief.terms)),
        **_panel(estimate.composition, bill),
        "beds": list(_beds(plan, book)),
        "recipes": list(_recipes(plan, book)),
        "plates": list(_plates(plan, bill, book)),
        "warnings": [named(warning, "field", "reason", "remedy") for warning in estimate.warnings],
    }


def _light(report: dict[str, Any]) -> dict[str, Any]:
    return {name: value for name, value in report.items() if name != "cost_a_year"}


def _labour(counted: Quantities, book: RateBook) -> Iterator[dict[str, Any]]:
    for operation in book.operations:
        if minutes := minutes_of(operation, counted, book):
            named_ = named(operation, "code", "text", "role")
            yield {**named_, "stage": stage_of(operation), "minutes": _plain(minutes)}


def _plain(value: Decimal) -> str:
    return f"{value.normalize():f}"


def _printer_minutes(plan: MakingPlan, book: RateBook) -> Iterator[dict[str, Any]]:
    for printer in book.printers:
        if printer.name in plan.minutes_by_printer:
            yield {
                "printer": printer.name,
                "print_minutes": plan.minutes_by_printer[printer.name],
                "reprint_minutes": plan.reprint_minutes_by_printer.get(printer.name, 0.0),
                "change_minutes": plan.change_minutes_by_printer.get(printer.name, 0.0),
            }


def _filament(use: Any) -> dict[str, Any]:
    grams = ("mass_g", "panel_g", "spares_g", "reprints_g", "starts_g", "purge_g")
    return {**named(use, "filament", "spools_to_buy"), **rounded(use, *grams)}


def _parts(bill: Bill) -> Iterator[dict[str, Any]]:
    """Each distinct part once; equal holes of a section are counted, and have no place here."""
    told = ("code", "pattern", "size", "filament", "count", "spares", "holding")
    for part in bill.parts:
        rings = [{"points": _points(ring.points), **named(ring, "hole", "count")} for ring in part.face.rings]
        area = {"depth_mm": part.depth_mm, "area_mm2": two(part.face.area_mm2)}
        yield {**named(part, *told), **area, "rings": rings}


def _panel(composition: Composition, bill: Bill) -> dict[str, Any]:
    openings = list(composition.openings)
    return {
        "pieces": [
            {**named(piece, "pattern", "shape", "facing"), "rings": _rings(piece.outline)}
            for piece in composition.pieces
        ],
        "openings": [
            {"shape": SHAPES[shape], "facing": facing, "rings": _rings(composition.openings[shape, facing])}
            for shape, facing in openings
        ],
        "cells": _cells(composition, bill, openings),
        "sections": list(_sections(bill)),
        "seams": [
            {**named(seam, "first", "second", "keys", "on_site"), **rounded(seam, "length_mm")}
            for seam in bill.seams
        ],
        "modules": [
            {"sections": list(module.sections), **rounded(module, "width_mm", "height_mm")}
            for module in bill.modules
        ],
    }


def _cells(composition: Composition, bill: Bill, openings: list[tuple[int, int]]) -> dict[str, list[Any]]:
    """One list for each of the things known of a cell, in the order of its address: its column and row, where
    it lies, its opening, the section that it is in, the piece that fills it and the part that this is printed
    as, both None for an open cell."""
    kinds = zip(composition.shape.tolist(), composition.facing.tolist(), strict=True)
    pieces = [None if piece < 0 else piece for piece in composition.piece.tolist()]
    return {
        "column": composition.column.tolist(),
        "row": composition.row.tolist(),
        "x_mm": np.round(composition.x, 2).tolist(),
        "y_mm": np.round(composition.y, 2).tolist(),
        "opening": [openings.index(kind) for kind in kinds],
        "section": section_of(bill.fit, bill.sections).tolist(),
        "piece": pieces,
        "part": list(_part_of_cells(composition, bill, pieces)),
    }


def _part_of_cells(
    composition: Composition, bill: Bill, pieces: Iterable[int | None]
) -> Iterator[int | None]:
    parts = {(p.pattern, p.size, p.filament): i for i, p in enumerate(bill.parts) if p.code == "infill"}
    for piece, filament in zip(pieces, composition.filament.tolist(), strict=True):
        if piece is None:
            yield None
        else:
            found = composition.pieces[piece]
            yield parts[found.pattern, size_of(found), composition.filaments[filament]]


def _sections(bill: Bill) -> Iterator[dict[str, Any]]:
    fit = bill.fit
    printed = [index for index, part in enumerate(bill.parts) if part.code == "section"]
    part_of = {
        section: part
        for part, alike in zip(printed, kinds_of(fit, bill.sections), strict=True)
        for section in alike
    }
    for index, section in enumerate(bill.sections):
        columns = section.column, section.column + section.columns
        rows = section.row, section.row + section.rows
        corner = fit.across.span(*columns)[0] * fit.across.step_mm, fit.up.span(*rows)[0] * fit.up.step_mm
        yield {
            "part": part_of[index],
            "module": section.module,
            "columns": list(columns),
            "rows": list(rows),
            "outline": _points(outline_of(fit, section).points + corner),
        }


def _beds(plan: MakingPlan, book: RateBook) -> Iterator[dict[str, Any]]:
    """The usable beds of the printers that take part."""
    used = {plate.printer for plate in plan.plates}
    for printer in book.printers:
        if printer.name in used:
            width_mm, depth_mm = map(two, printer.usable_mm)
            yield {"printer": printer.name, "width_mm": width_mm, "depth_mm": depth_mm}


def _recipes(plan: MakingPlan, book: RateBook) -> Iterator[dict[str, Any]]:
    """How each filament is printed on each printer that prints it."""
    used = {(plate.printer, plate.filament) for plate in plan.plates}
    for printer in book.printers:
        for filament in book.filaments:
            if (printer.name, filament.name) in used:
                recipe = dump(printer.recipe_for(filament)[1])
                yield {"printer": printer.name, "filament": filament.name, **recipe}


def _plates(plan: MakingPlan, bill: Bill, book: RateBook) -> Iterator[dict[str, Any]]:
    """Equal plates are laid out once."""
    laid: dict[Plate, list[dict[str, Any]]] = {}
    for plate in plan.plates:
        if plate not in laid:
            laid[plate] = _laid(plate, bill, book)
        figures = rounded(plate, "minutes", "mass_g", "bed_share")
        yield {**named(plate, "printer", "filament", "pieces"), **figures, "parts": laid[plate]}


def _laid(plate: Plate, bill: Bill, book: RateBook) -> list[dict[str, Any]]:
    places: dict[int, list[list[float]]] = {}
    for run in lay_out(plate, bill.parts, book.printers):
        for index, (x_mm, y_mm) in enumerate(run.corners_mm()):
            turn = (run.lie.turn_degrees + HALF_TURN * (index % 2)) % 360
            places.setdefault(run.part, []).append([two(x_mm), two(y_mm), two(turn)])
    return [{"part": part, "places": placed} for part, placed in places.items()]


def _rings(outline: Polygon) -> list[list[list[float]]]:
    """The outer ring first, then holes; first points are not repeated."""
    lines = (outline.exterior, *outline.interiors)
    return [_points(shapely.get_coordinates(line)[:-1]) for line in lines]


def _points(points: Points) -> list[list[float]]:
    found: list[list[float]] = np.round(points, 2).tolist()
    return found
