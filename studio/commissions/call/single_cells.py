"""Single cells: given an infill of their own by a button, listed, and given back. Addresses are counted from
1 where people read or type them."""

import json
import re
from collections.abc import Sequence
from dataclasses import replace
from typing import Annotated
from zlib import crc32

from pydantic import Field

from studio.commissions.call.design_form import WrittenDesign, with_own_patterns
from studio.commissions.words import infill_words
from studio.document import document, parse
from studio.forms import Form
from studio.lattice.cells import has_cell
from studio.lattice.composition import Composition
from studio.lattice.design import Design, Infill, Name, Space, TouchUp
from studio.lattice.fit import Fit, best_fit
from studio.problem import Conflict, Problem, Refused

__all__ = [
    "MOST", "cell_form", "listed", "marks", "off_the_panel", "refuse_overtaken", "said_of", "with_cells",
]  # fmt: skip

MOST = 400
DROP = re.compile(r"drop cell ([0-9]{1,4}) ([0-9]{1,4})")
Address = Annotated[int, Field(ge=1, le=1001)]


@document
class Cell:
    """What the page says of one cell."""

    column: Address
    row: Address
    pattern: Name
    filament: Name


def cell_form(infills: Sequence[Infill]) -> Form:
    """No cell yet, and the last of a design's infills: that of the cell changed last, if any was."""
    last = infills[-1]
    return Form(
        {"cell.column": "", "cell.row": "", "cell.pattern": last.pattern, "cell.filament": last.filament}
    )


def marks(design: Design) -> str:
    """What lies in each cell that was changed by hand, briefly: by it a page knows what it was made from."""
    return json.dumps({f"{touch.column} {touch.row}": _mark(touch) for touch in design.touch_ups})


def _mark(touch: TouchUp) -> str:
    return f"{crc32(f'{touch.infill.pattern} {touch.infill.filament}'.encode()):08x}"


def refuse_overtaken(form: Form, design: Design) -> None:
    """Raises Refused where a button is for a cell that somebody else changed since the page was made."""
    if form["change"] == "set cell":
        typed = [form[f"cell.{name}"].strip() for name in ("column", "row")]
    elif dropped := DROP.fullmatch(form["change"]):
        typed = list(dropped.groups())
    else:
        return
    if not all(re.fullmatch("[0-9]{1,4}", text) for text in typed):
        return  # reading it says so
    column, row = (int(text) - 1 for text in typed)
    stands = {(touch.column, touch.row): touch for touch in design.touch_ups}.get((column, row))
    if _seen(form["cells"]).get(f"{column} {row}") != (_mark(stands) if stands else None):
        what = f"is {infill_words(stands.infill, design)} now" if stands else "is as the rule has it now"
        reason = f"column {typed[0]}, row {typed[1]} was changed by somebody else meanwhile and {what}"
        raise Conflict.because("cell.column", reason, "press the button again to have it your way")


def _seen(text: str) -> dict[str, object]:
    try:
        found = json.loads(text)
    except (ValueError, RecursionError):
        return {}
    return found if isinstance(found, dict) else {}


def with_cells(written: WrittenDesign, form: Form, space: Space) -> Design:
    """The design after the button that was pressed: "set cell", "drop cell 3 5", "drop outside", or another
    one. Raises Refused with fields under "cell"."""
    design, button = written.design, form["change"]
    if button == "set cell":
        return with_own_patterns(_with_cell(design, form, space), written.usable)
    if dropped := DROP.fullmatch(button):
        return _without(design, tuple(int(number) - 1 for number in dropped.groups()))
    if button == "drop outside":
        fit = best_fit(design, space)
        kept = tuple(touch for touch in design.touch_ups if has_cell(fit, touch.column, touch.row))
        return replace(design, touch_ups=kept)
    return design


def listed(design: Design, outside: Sequence[TouchUp]) -> list[dict[str, object]]:
    """Every cell that was changed by hand, in the order in which it was."""
    return [
        {
            "column": touch.column + 1,
            "row": touch.row + 1,
            "words": infill_words(touch.infill, design),
            "outside": touch in outside,
        }
        for touch in design.touch_ups
    ]


def off_the_panel(outside: Sequence[TouchUp]) -> Problem | None:
    """That cells which were changed by hand are not on the panel: nothing is lost, and it is said."""
    if not outside:
        return None
    several = len(outside) > 1
    first = "; ".join(f"column {touch.column + 1}, row {touch.row + 1}" for touch in outside[:3])
    more = f" and {len(outside) - 3} more" if len(outside) > 3 else ""
    said = f"{len(outside)} cells" if several else "a cell"
    be, they = ("are", "they come") if several else ("is", "it comes")
    return Problem(
        "design.touch_ups",
        f"{said} changed by hand {be} no longer on the panel ({first}{more})",
        f"{they} back with a panel of that size; to do without, drop {'them' if several else 'it'} "
        "under “Single cells”",
    )


def said_of(made: Composition, column: int, row: int) -> str:
    """What lies in a cell, such as "hemp leaf in tea"."""
    (place,) = ((made.column == column) & (made.row == row)).nonzero()[0]
    if made.piece[place] < 0:
        return "open"
    pattern, filament = made.pieces[made.piece[place]].pattern, made.filaments[made.filament[place]]
    return infill_words(Infill(pattern=pattern, filament=filament), made.design)


def _with_cell(design: Design, form: Form, space: Space) -> Design:
    typed = {name: form[f"cell.{name}"].strip() for name in ("column", "row", "pattern", "filament")}
    try:
        cell = parse(Cell, typed)
        _refuse_absent(cell, best_fit(design, space))
    except Refused as refused:
        own = [problem for problem in refused.problems if problem.field in typed]
        raise Refused(*own).under("cell") if own else refused from None
    address = cell.column - 1, cell.row - 1
    others = _without(design, address).touch_ups
    if len(others) == MOST:
        remedy = "drop some of them, or arrange the panel by another rule"
        raise Refused.because("cell.column", f"{MOST} cells are changed by hand already", remedy)
    infill = Infill(pattern=cell.pattern, filament=cell.filament)
    return replace(design, touch_ups=(*others, TouchUp(column=address[0], row=address[1], infill=infill)))


def _without(design: Design, address: tuple[int, ...]) -> Design:
    kept = tuple(touch for touch in design.touch_ups if (touch.column, touch.row) != address)
    return replace(design, touch_ups=kept)


def _refuse_absent(cell: Cell, fit: Fit) -> None:
    columns, rows = fit.across.addresses, fit.up.addresses
    if cell.column > columns:
        raise Refused.because("column", f"the panel has {columns} columns of cells", f"give 1 to {columns}")
    if cell.row > rows:
        raise Refused.because("row", f"the panel has {rows} rows of cells", f"give 1 to {rows}")
    if not has_cell(fit, cell.column - 1, cell.row - 1):
        reason = f"in a diamond lattice no cell lies in column {cell.column}, row {cell.row}"
        beside = cell.row + 1 if cell.row < rows else cell.row - 1
        raise Refused.because("row", reason, f"give row {beside}, or the column beside it")
