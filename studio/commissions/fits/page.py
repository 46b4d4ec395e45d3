"""The fits of an option's opening: the range asked for, the page, and one of the fits taken."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Annotated, Any

from pydantic import Field

from studio.commissions.closed import is_closed, refuse_closed
from studio.commissions.estimating import brief_of, design_of, in_currency, save_design
from studio.commissions.fits.shown import FitsShown
from studio.commissions.models import Option
from studio.commissions.price_first import main_price, reads_net_first, tax_words
from studio.commissions.words import SYMMETRIES
from studio.document import document, parse
from studio.estimate.brief import Brief
from studio.estimate.fit_table import fit_table
from studio.forms import Form, plain
from studio.lattice.design import LatticeKind
from studio.lattice.fit import Fit, best_fit
from studio.lattice.nearest import nearest
from studio.lattice.refit import held_to, in_lattice
from studio.people.models import User
from studio.problem import Refused
from studio.typed_lengths import as_typed, read_lengths, shown_length
from studio.workshop.books import book_of, the_studio, voice_of
from studio.workshop.clock import today
from studio.workshop.shop import current_shop

__all__ = ["Range", "fits_page", "range_form", "read_range", "take_fit"]

NAMES = ("cell_side_mm", "side_play_percent")
USUAL_PLAY = Decimal(5)
"""Where an option's own side may not move, so that there is something to choose from."""


@document
class Range:
    """The cell sides among which fits are looked for."""

    cell_side_mm: Annotated[Decimal, Field(ge=10, le=400, decimal_places=2)]
    side_play_percent: Annotated[Decimal, Field(ge=0, le=25)]


@document
class Taken:
    """A fit as its button names it."""

    lattice: LatticeKind
    columns: Annotated[int, Field(ge=1, le=400)]
    rows: Annotated[int, Field(ge=1, le=800)]
    side: Annotated[Decimal, Field(ge=10, le=400, decimal_places=2)]


def range_form(option: Option, asked: Mapping[str, str]) -> Form:
    """The range as asked, at first the option's own."""
    own = _own_range(option)
    side = shown_length(own.cell_side_mm, voice_of(the_studio()))
    return Form(
        {"cell_side_mm": side, "side_play_percent": plain(own.side_play_percent)}
        | {name: asked[name] for name in asked if name in NAMES}
    )


def _own_range(option: Option) -> Range:
    design = design_of(option)
    return Range(cell_side_mm=design.cell_side_mm, side_play_percent=design.side_play_percent or USUAL_PLAY)


def read_range(form: Form) -> Range:
    """Raises Refused with the form's fields."""
    play = form["side_play_percent"].strip().removesuffix("%").strip()
    lengths = read_lengths({"cell_side_mm": form["cell_side_mm"].strip()})
    if lengths.problems:
        raise Refused(*lengths.problems)
    try:
        return parse(Range, {**lengths.mm, "side_play_percent": play})
    except Refused as refused:
        raise Refused(*(as_typed(problem, form.values) for problem in refused.problems)) from None


def take_fit(option: Option, form: Form, by: User | None, on: date) -> None:
    """Make the fit of a button the option's. Raises Refused, or Stale when the page was made from another
    revision of the option."""
    refuse_closed(option.commission)
    taken = _read_taken(form["take"])
    design, _given_up = in_lattice(design_of(option), taken.lattice)
    wanted = replace(
        design, cell_side_mm=taken.side, side_play_percent=Decimal(0), columns=taken.columns, rows=taken.rows
    )
    save_design(option, wanted, form.number("revision"), by, on)


def _read_taken(code: str) -> Taken:
    parts = dict(zip(("lattice", "columns", "rows", "side"), code.split("/"), strict=False))
    try:
        return parse(Taken, parts)
    except Refused:
        reason = "this is not one of the fits of the table"
        raise Refused.because("take", reason, "choose one of those that stand there now") from None


def fits_page(option: Option, form: Form, asked: Range | None) -> dict[str, Any]:
    """All that the page shows, for a range or, without one, for the option's own."""
    studio, book = the_studio(), book_of(option.rate_book)
    brief = in_currency(brief_of(option), book)
    asked, now = asked or _own_range(option), _fit_now(brief)
    ranged = replace(brief.design, cell_side_mm=asked.cell_side_mm, side_play_percent=asked.side_play_percent)
    table = fit_table(replace(brief, design=ranged), book, current_shop(today()))
    voice = voice_of(studio, option.currency)
    shown = FitsShown(voice, reads_net_first(option.commission), now)
    kept = held_to(brief.design, now) if now else brief.design
    return {
        "commission": option.commission,
        "option": option,
        "form": form,
        "groups": tuple(shown.groups(table)),
        "now": shown.said(now) if now else "",
        "price_now": main_price(option, studio),
        "price_is": tax_words(option.commission, [option]),
        "voice": voice,
        "symmetries": SYMMETRIES,
        "near": tuple(shown.near(nearest(kept, brief.space), kept.lattice)),
        "near_side": kept.cell_side_mm,
        "measured": brief.space.measured,
        "closed": is_closed(option.commission),
    }


def _fit_now(brief: Brief) -> Fit | None:
    try:
        return best_fit(brief.design, brief.space)
    except Refused:
        return None
