"""What was posted to the call page becomes a change of the option."""

from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import date

from studio.clients.space_form import ReadSpace, read_space
from studio.commissions.access import get_option_or_404
from studio.commissions.call.design_form import WrittenDesign, read_design
from studio.commissions.call.meanwhile import caught_up_words
from studio.commissions.call.outcome import Before
from studio.commissions.call.placing import placed
from studio.commissions.call.single_cells import refuse_overtaken, with_cells
from studio.commissions.call.terms_form import read_terms
from studio.commissions.call.vocabulary import lattice_in
from studio.commissions.call.whole_form import form_of, priced_filaments
from studio.commissions.closed import refuse_closed
from studio.commissions.estimating import Stale, Surroundings, brief_of, save_design, use_newer_rates
from studio.commissions.models import Option
from studio.commissions.wanted import read_wanted
from studio.estimate.brief import Brief
from studio.estimate.result import Estimate
from studio.forms import Form
from studio.lattice.design import Design, Space
from studio.meanwhile import CaughtUp
from studio.money import from_minor
from studio.people.models import User
from studio.problem import Conflict, Refused, both
from studio.workshop.books import book_of, the_studio, voice_of
from studio.workshop.own_patterns import usable

__all__ = ["Changed", "move_to_newer_rates", "save_words"]

ATTEMPTS = 5
"""So often a change is merged anew before its writer is told that others are faster."""


@dataclass(frozen=True)
class Changed:
    """What a change made of an option. `reworded`: its words need other fields or texts than the page has.
    `told` is what others changed meanwhile, and what had to be given up for it."""

    found: Estimate
    before: Before
    anything: bool
    reworded: bool
    told: str = ""


def save_words(
    public_id: str, letter: str, posted: Form, by: User | None, on: date
) -> tuple[Option, Changed]:
    """The option with the change, decided anew when somebody else saves in between. Raises Http404, or
    Refused with the page's fields."""
    for _attempt in range(ATTEMPTS):
        option = get_option_or_404(public_id, letter)
        with suppress(Stale):
            return option, _merged(option, posted, by, on)
    raise Conflict.because("revision", "others change this option all the time", "press Update again")


def _merged(option: Option, posted: Form, by: User | None, on: date) -> Changed:
    """Save what was typed, merged with what others saved since the page was made. Raises Stale when somebody
    saves in this moment."""
    refuse_closed(option.commission)
    merged = caught_up_words(posted, form_of(option, the_studio()), option, by)
    return merged.attempt(lambda: _change(option, merged, by, on))


def _change(option: Option, merged: CaughtUp, by: User | None, on: date) -> Changed:
    before, brief, form = _figures(option), brief_of(option), merged.form
    revision = option.revision
    refuse_overtaken(form, brief.design)
    written, around = _read(option, form, brief, on)
    try:
        design = with_cells(written, form, around.space)
        found = save_design(option, design, revision, by, on, replace(around, changed=merged.changed))
    except Refused as refused:
        raise Refused(*placed(refused.problems, form)) from None
    reworded = written.reworded or bool(design.edging_width_mm) != bool(brief.design.edging_width_mm)
    origins = ("width_origin", "height_origin")
    reworded |= any(form[f"space.{name}"] != getattr(around.space, name) for name in origins)
    moved = option.revision != revision or _figures(option) != before
    told = " ".join(filter(None, (merged.told, _given_up(brief.design, design))))
    return Changed(found, before, moved or bool(merged.told), reworded or bool(merged.told), told)


def _given_up(before: Design, design: Design) -> str:
    """Single cells and seams that another lattice has no place for."""
    if before.lattice == design.lattice or not (before.touch_ups or any(before.seam_lines)):
        return ""
    cells = "cells changed by hand" if before.touch_ups else ""
    lost = " and the ".join(filter(None, (cells, "fixed seams" if any(before.seam_lines) else "")))
    return f"The {lost} stayed behind with the other lattice. Undo brings both back."


def _read(option: Option, form: Form, brief: Brief, on: date) -> tuple[WrittenDesign, Surroundings]:
    """Everything that was typed. Raises Refused with all that is wrong in it."""
    own, filaments = usable(lattice_in(form)), priced_filaments(book_of(option.rate_book))
    return both(
        lambda: read_design(form, brief.design, own, filaments), lambda: _around(option, form, brief, on)
    )


def move_to_newer_rates(option: Option, on: date) -> Changed:
    """Raises Refused with the page's fields."""
    before, currency = _figures(option), option.currency
    try:
        found = use_newer_rates(option, on)
    except Refused as refused:
        form = form_of(option, the_studio())
        raise Refused(*placed(refused.problems, form)) from None
    if option.currency != currency:
        before = Before(None, None, before.ready_on)
    return Changed(found, before, anything=True, reworded=True)


def _figures(option: Option) -> Before:
    amounts = [
        None if minor is None else from_minor(minor, option.currency)
        for minor in (option.gross_minor, option.net_minor)
    ]
    return Before(amounts[0], amounts[1], option.ready_on)


def _around(option: Option, form: Form, brief: Brief, on: date) -> Surroundings:
    """The space and the terms as typed; how lengths were typed stays where their field is not on the page."""
    stands = option.commission.wanted_on
    wanted_on, (read, terms) = both(
        lambda: read_wanted(form["terms.wanted_on"], "terms.wanted_on", on, stands),
        lambda: both(
            lambda: _read_space(form, brief.space),
            lambda: read_terms(form, brief.terms.currency, voice_of(the_studio())),
        ),
    )
    old = option.commission.space.typed_texts
    typed = {name: text for name, text in old.items() if f"space.{name}" not in form.values}
    return Surroundings(read.space, terms, {**typed, **read.typed}, wanted_on=wanted_on)


def _read_space(form: Form, before: Space) -> ReadSpace:
    try:
        return read_space(form, before)
    except Refused as refused:
        raise Refused(*placed(refused.problems, form)) from None
