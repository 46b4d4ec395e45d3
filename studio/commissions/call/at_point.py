"""The cell at a point of an option's drawing."""

from math import isfinite
from typing import Any

from studio.commissions.call.single_cells import said_of
from studio.commissions.call.vocabulary import vocabulary
from studio.commissions.estimating import brief_of
from studio.commissions.models import Option
from studio.drawing.rings import PER_MM
from studio.forms import Form
from studio.lattice.cells import cell_at
from studio.lattice.composition import compose
from studio.lattice.fit import best_fit
from studio.problem import Refused
from studio.workshop.books import book_of

__all__ = ["cell_page"]


def cell_page(option: Option, typed: Form) -> dict[str, Any] | None:
    """What the fields of a single cell show once a point is known, in drawing units from the lattice's upper
    left corner; None where the drawing has no cell."""
    brief = brief_of(option)
    right_mm, down_mm = (_number(typed[f"point.{way}"]) / PER_MM for way in "xy")
    try:
        fit = best_fit(brief.design, brief.space)
        address = cell_at(fit, right_mm, fit.lattice_height_mm - down_mm)
        made = compose(brief.design, fit)
    except Refused:
        return None
    if address is None:
        return None
    column, row = address
    form = Form({**typed.values, "cell.column": str(column + 1), "cell.row": str(row + 1)})
    return {
        "commission": option.commission,
        "option": option,
        "form": form,
        "cell_now": said_of(made, column, row),
        **vocabulary(option, book_of(option.rate_book), Form({"design.lattice": brief.design.lattice})),
    }


def _number(text: str) -> float:
    """-1, which is outside, for what is not a number."""
    try:
        number = float(text)
    except ValueError:
        return -1.0
    return number if isfinite(number) else -1.0
