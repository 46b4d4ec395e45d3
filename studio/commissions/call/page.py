"""The call page: all that it shows of an option and its neighbours."""

from dataclasses import replace
from datetime import date
from typing import Any

from studio.commissions.call.change import Changed
from studio.commissions.call.outcome import Outcome
from studio.commissions.call.placing import placed
from studio.commissions.call.side_by_side import side_by_side
from studio.commissions.call.single_cells import listed, marks
from studio.commissions.call.step import step
from studio.commissions.call.vocabulary import vocabulary
from studio.commissions.call.whole_form import form_of
from studio.commissions.closed import is_closed
from studio.commissions.drawing.drawn import View, drawn
from studio.commissions.estimating import design_of, estimate_option
from studio.commissions.models import Option
from studio.commissions.option_set import change_before, options_of
from studio.commissions.ranges import with_known_range, worked_on
from studio.commissions.rates_words import old_rates
from studio.commissions.wanted import verdicts, wanted_words
from studio.estimate.result import Estimate
from studio.forms import Form
from studio.pricing.rate_book import RateBook
from studio.problem import Problem, Refused
from studio.stored.door import Unreadable
from studio.stored.kinds import DESIGN
from studio.voice import Voice
from studio.workshop.books import book_of, current_revision, the_studio, voice_of

__all__ = ["range_of", "page_of", "unreadable_page_of"]


def page_of(
    option: Option,
    on: date,
    form: Form | None = None,
    changed: Changed | None = None,
    view: View = "front",
    reloaded: bool = False,
) -> dict[str, Any]:
    """All that the page shows of an option and its neighbours. Where there is no price, the reasons. With
    `reloaded` a part more of its range is worked out."""
    studio, newest, book = the_studio(), current_revision(on), book_of(option.rate_book)
    voice = voice_of(studio, option.currency)
    shown = form or form_of(option, studio)
    options, removed = options_of(option.commission)
    found, troubles = _found(option, on, changed)
    if found and not is_closed(option.commission):
        found = with_known_range(option, found, on, reloaded)
    touched = listed(design_of(option), found.composition.outside if found else ())
    if form is None and troubles:
        shown, troubles = replace(shown, problems=tuple(placed(troubles, shown))), []
    return {
        "voice": voice,
        "commission": option.commission,
        "option": option,
        "side_by_side": side_by_side(option, options, studio, on, found, newest),
        "removed": removed,
        "form": shown,
        "words_now": shown if form is None else form_of(option, studio),
        "outcome": _outcome(found, book, voice, changed),
        **drawn(found, option.letter, book, voice, studio.paper, view),
        "troubles": [*troubles, *(p for p in shown.problems if p.field not in shown.values)],
        "old_rates": old_rates(option, newest, voice),
        "wrong": bool(shown.problems),
        "clashes": shown.problems if shown.clashes else (),
        "kept": shown.told,
        "wanted": _wanted(option, options, on, voice) if found else "",
        "as_fits": _as_fits(found, voice),
        "touched": touched,
        "marks": marks(design_of(option)),
        "any_outside": any(cell["outside"] for cell in touched),
        "undo_step": _undo_step(option, voice),
        "closed": is_closed(option.commission),
        "entries": option.commission.entries.select_related("by"),
        "said": Form(),
        **vocabulary(option, book, shown),
    }


def unreadable_page_of(option: Option, on: date, unreadable: Unreadable) -> dict[str, Any]:
    """What there is to show of an option that cannot be read: why, its neighbours, the ways on."""
    options, removed = options_of(option.commission)
    return {
        "commission": option.commission,
        "option": option,
        "unreadable": unreadable,
        "side_by_side": side_by_side(option, options, the_studio(), on, None, current_revision(on)),
        "removed": removed,
        "earlier": change_before(option),
        "closed": is_closed(option.commission),
    }


def _wanted(option: Option, options: list[Option], on: date, voice: Voice) -> str:
    """Whether the day holds by which it is wanted; nothing where it is sold, or no calendar can be read."""
    if is_closed(option.commission):
        return ""
    try:
        return wanted_words(option.letter, verdicts(option.commission, options, on), option.commission, voice)
    except Refused:
        return ""


def _undo_step(option: Option, voice: Voice) -> str:
    """What an undo would change; empty when nothing is left to undo."""
    target = change_before(option)
    return step(design_of(option), DESIGN.read(target.design), voice) if target else ""


def _as_fits(found: Estimate | None, voice: Voice) -> str:
    """The side that is made, where it is not the one that is asked for: "46 mm as it fits"."""
    if found is None:
        return ""
    asked = voice.length(found.brief.design.cell_side_mm)
    made = voice.length(found.bill.fit.cell_side_mm)
    return "" if made == asked else f"{made} as it fits"


def _found(option: Option, on: date, changed: Changed | None) -> tuple[Estimate | None, list[Problem]]:
    if changed:
        return changed.found, []
    try:
        return estimate_option(option, on), []
    except Refused as refused:
        return None, list(refused.problems)


def range_of(option: Option, on: date) -> dict[str, Any]:
    """A part more of the range, which stays beside the price until the page is loaded again: what it says of
    a change is not taken away. Raises Refused where there is no price."""
    found, book = worked_on(option, estimate_option(option, on), on), book_of(option.rate_book)
    voice = voice_of(the_studio(), option.currency)
    context: dict[str, Any] = {"commission": option.commission, "option": option, "voice": voice}
    return {**context, "outcome": Outcome(found, book, voice), "beside": True}


def _outcome(found: Estimate | None, book: RateBook, voice: Voice, changed: Changed | None) -> Outcome | None:
    if found is None:
        return None
    return Outcome(found, book, voice, changed.before if changed else None)
