"""The call page: what is posted becomes a change of the option, and the option becomes what is shown."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from django.urls import reverse

from studio.clients.space_form import read_space, space_form
from studio.commissions.answer import Answer, Before, answer_of
from studio.commissions.closed import is_closed, refuse_closed
from studio.commissions.design_form import WrittenDesign, design_form, read_design, written_whole
from studio.commissions.drawn import colours_of, drawn
from studio.commissions.estimating import (
    Surroundings,
    brief_of,
    design_of,
    estimate_option,
    save_design,
    use_newer_rates,
)
from studio.commissions.models import Option
from studio.commissions.option_set import undo_step
from studio.commissions.single_cells import cell_form, listed, with_cells
from studio.commissions.strip import old_rates, options_of, strip_of
from studio.commissions.terms_form import read_terms, terms_form
from studio.commissions.vocabulary import lattice_in, vocabulary
from studio.drawing.figures import Units, size_text
from studio.estimate.brief import Brief
from studio.estimate.result import Estimate
from studio.forms import Form, Linked
from studio.lattice.design import Design
from studio.lattice.infills import infills_of
from studio.people.models import User
from studio.pricing.money import from_minor
from studio.pricing.rate_book import RateBook
from studio.problem import Problem, Refused
from studio.workshop.books import book_of, current_book, the_studio, units_of
from studio.workshop.house_style import HouseStyle, house_style
from studio.workshop.models import Studio
from studio.workshop.own_patterns import usable

__all__ = ["Changed", "change", "colours_of", "form_of", "move_to_newer_rates", "page_of", "whole_form"]


SAID_ABOUT = Problem(
    "space.about",
    "a size is typed with “about”: is it measured?",
    "clear the “about”, or leave it unmeasured",
)


@dataclass(frozen=True)
class Changed:
    """What a change made of an option. `reworded`: its words need other fields than the page has. `told` is
    what had to be given up for it."""

    found: Estimate
    before: Before
    anything: bool
    reworded: bool
    told: str = ""


def change(option: Option, form: Form, by: User | None, on: date) -> Changed:
    """Save what was typed. Raises Refused with the page's fields, or Stale."""
    refuse_closed(option.commission)
    before = _figures(option)
    brief = brief_of(option)
    written, around = _read(option, form, brief)
    revision = _number(form["over"] or form["revision"])
    try:
        design = with_cells(written, form, around.space)
        found = save_design(option, design, revision, by, on, around)
    except Refused as refused:
        raise Refused(*_placed(refused.problems, form)) from None
    reworded = written.reworded or bool(design.edging_width_mm) != bool(brief.design.edging_width_mm)
    reworded |= form["space.about"] == "off" and not around.space.measured
    moved = option.revision != revision or _figures(option) != before
    return Changed(found, before, moved, reworded, _given_up(brief.design, design))


def _given_up(before: Design, design: Design) -> str:
    """Single cells that another lattice has no place for."""
    if before.lattice == design.lattice or not before.touch_ups:
        return ""
    return "The cells changed by hand stayed behind with the other lattice. Undo brings both back."


def _read(option: Option, form: Form, brief: Brief) -> tuple[WrittenDesign, Surroundings]:
    """Everything that was typed. Raises Refused with all that is wrong in it."""
    problems: list[Problem] = []
    written = around = None
    try:
        written = read_design(
            form, brief.design, usable(lattice_in(form)), _priced(book_of(option.rate_book))
        )
    except Refused as refused:
        problems += refused.problems
    try:
        around = _around(option, form, brief)
    except Refused as refused:
        problems += refused.problems
    if written is None or around is None:
        raise Refused(*problems)
    return written, around


def _priced(book: RateBook) -> list[str]:
    return [filament.name for filament in book.filaments if filament.price_per_spool is not None]


def move_to_newer_rates(option: Option, on: date) -> Changed:
    """Raises Refused with the page's fields."""
    before, currency = _figures(option), option.currency
    try:
        found = use_newer_rates(option, on)
    except Refused as refused:
        form = form_of(option, the_studio())
        raise Refused(*_placed(refused.problems, form)) from None
    if option.currency != currency:
        before = Before(None, None, before.ready_on)
    return Changed(found, before, anything=True, reworded=True)


def form_of(option: Option, studio: Studio) -> Form:
    """An option's words with what its commission's options share."""
    brief = brief_of(option)
    units = units_of(studio)
    return Form(
        {
            **_with_units(space_form(option.commission.space, units).values),
            **design_form(brief.design, units).values,
            **terms_form(brief.terms).values,
            **cell_form(tuple(infills_of(brief.design).values())).values,
            "revision": str(option.revision),
        }
    )


def whole_form(option: Option, form: Form) -> Form:
    """What was typed, with every field that a page made from it has."""
    saved, own = form_of(option, the_studio()).values, usable(lattice_in(form))
    return written_whole(form, saved, design_of(option), own, _priced(book_of(option.rate_book)))


def _with_units(values: Mapping[str, str]) -> dict[str, str]:
    """Lengths that were typed as a number read as the millimetres that they are."""
    return {
        name: f"{text} mm" if "_mm" in name and text.replace(".", "", 1).isdecimal() else text
        for name, text in values.items()
    }


def page_of(
    option: Option,
    on: date,
    form: Form | None = None,
    changed: Changed | None = None,
    view: str = "front",
) -> dict[str, Any]:
    """All that the page shows of an option and its neighbours. Where there is no price, the reasons."""
    studio, newest, book = the_studio(), current_book(on)[0], book_of(option.rate_book)
    style = house_style(studio, option.currency)
    shown = form or form_of(option, studio)
    options, removed = options_of(option.commission)
    found, troubles = _found(option, on, changed)
    touched = listed(design_of(option), found.composition.outside if found else ())
    if form is None and troubles:
        shown, troubles = replace(shown, problems=tuple(_placed(troubles, shown))), []
    return {
        "commission": option.commission,
        "option": option,
        "strip": strip_of(option, options, studio, on, found, newest),
        "removed": removed,
        "form": shown,
        "answer": _answer(found, book, style, studio, changed),
        **drawn(found, option.letter, book, style, units_of(studio), view),
        "troubles": [*troubles, *(p for p in shown.problems if p.field not in shown.values)],
        "old_rates": old_rates(option, newest, style),
        "wrong": bool(shown.problems),
        "as_fits": _as_fits(found, units_of(studio)),
        "touched": touched,
        "any_outside": any(cell["outside"] for cell in touched),
        "undo_step": undo_step(option, units_of(studio)),
        "closed": is_closed(option.commission),
        **vocabulary(option, book, shown),
    }


def _as_fits(found: Estimate | None, units: Units) -> str:
    """The side that is made, where it is not the one that is asked for: "46 mm as it fits"."""
    if found is None:
        return ""
    asked = size_text(float(found.brief.design.cell_side_mm), units)
    made = size_text(found.bill.fit.cell_side_mm, units)
    return "" if made == asked else f"{made} as it fits"


def _number(text: str) -> int:
    return int(text) if text.isdecimal() and len(text) < 10 else 0


def _figures(option: Option) -> Before:
    amounts = [
        None if minor is None else from_minor(minor, option.currency)
        for minor in (option.gross_minor, option.net_minor)
    ]
    return Before(amounts[0], amounts[1], option.ready_on)


def _around(option: Option, form: Form, brief: Brief) -> Surroundings:
    """The space and the terms as typed; how lengths were typed stays where their field is not on the page."""
    problems: list[Problem] = []
    read = terms = None
    try:
        read = read_space(form, brief.space)
    except Refused as refused:
        problems += _placed(refused.problems, form)
    try:
        terms = read_terms(form, brief.terms.currency)
    except Refused as refused:
        problems += refused.problems
    if read and form["space.about"] == "off" and not (read.space.measured or brief.space.measured):
        problems.append(SAID_ABOUT)
    if read is None or terms is None or problems:
        raise Refused(*problems)
    old = option.commission.space.typed
    typed = {name: text for name, text in old.items() if f"space.{name}" not in form.values}
    return Surroundings(read.space, terms, {**typed, **read.typed})


def _placed(problems: Iterable[Problem], form: Form) -> list[Problem]:
    """Problems of a brief or of its rates at the fields of the page that they are about."""
    return [placed for problem in problems for placed in (_unpriced(problem, form) or [_at(problem, form)])]


def _unpriced(problem: Problem, form: Form) -> list[Problem]:
    """A colour without a price, at every word that chooses it, with a way to where its price is set."""
    if not problem.field.startswith("rate_book.filaments."):
        return []
    name = problem.field.removeprefix("rate_book.filaments.").removesuffix(".price_per_spool")
    asked = ("design.", "cell.") if form["change"] == "set cell" else ("design.",)
    colours = {field: text for field, text in form.values.items() if field.endswith("filament")}
    fields = [field for field, text in colours.items() if text == name and field.startswith(asked)]
    told = problem.reason, problem.remedy, reverse("workshop-rates", args=["filaments"]), "To the filaments"
    return [Linked(field, *told) for field in fields or [problem.field]]


def _at(problem: Problem, form: Form) -> Problem:
    field = problem.field.removeprefix("brief.")
    if field not in form.values:
        field = next((name for name in form.values if name.startswith(f"{field}.")), field)
    return Problem(field, problem.reason, problem.remedy)


def _found(option: Option, on: date, changed: Changed | None) -> tuple[Estimate | None, list[Problem]]:
    if changed:
        return changed.found, []
    try:
        return estimate_option(option, on), []
    except Refused as refused:
        return None, list(refused.problems)


def _answer(
    found: Estimate | None, book: RateBook, style: HouseStyle, studio: Studio, changed: Changed | None
) -> Answer | None:
    if found is None:
        return None
    return answer_of(found, book, style, units_of(studio), changed.before if changed else None)
