"""The studio's own plates as they are typed, and saved with the rates: one more, one less, or as before."""

import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace
from datetime import date

from django.db import transaction

from studio.commissions.measured.keys import list_key, plate_key
from studio.document import dump, parse
from studio.forms import Form
from studio.making.equipment import STANDARD
from studio.making.measured import Measured, all_hazard, enough, experience_of
from studio.people.models import User
from studio.pricing.rate_book import RateBook
from studio.problem import Conflict, Problem, Refused, refuse_all
from studio.workshop.books import book_if_readable, later_books, locked_studio, readable_book, save_book
from studio.workshop.models import RateBookRevision

__all__ = ["ACTIONS", "before", "blank", "recipes_of", "save_measured"]

FIELDS = tuple(Measured.__dataclass_fields__)
LOOKED_BACK = 50
"""So many revisions are searched for the list that stood before."""
CLOCK = re.compile(r"(\d{1,4})\s*(?::|h)\s*(\d{1,2})?\s*(?:m|min)?")
"""3:20, 3 h 20, 3h20m, 3 h."""

Change = Callable[[Form, RateBookRevision, RateBook], RateBook]


def blank(book: RateBook) -> Form:
    """A plate of which nothing is known yet."""
    given = {"printer": book.printers[0].name, "recipe": STANDARD, "failed": "off"}
    return Form(dict.fromkeys(FIELDS, "") | given | {"list": list_key(book)})


def recipes_of(book: RateBook) -> tuple[str, ...]:
    """The keys of all recipes that some printer has."""
    return tuple(dict.fromkeys((STANDARD, *(own.of for each in book.printers for own in each.recipes))))


def before(revision: RateBookRevision, book: RateBook) -> tuple[Measured, ...] | None:
    """The list as it stood before it was last changed; None where there is no other."""
    for earlier in RateBookRevision.objects.filter(pk__lt=revision.pk)[:LOOKED_BACK]:
        was = book_if_readable(earlier)
        if was and was.measured != book.measured:
            return was.measured
    return None


@transaction.atomic
def save_measured(form: Form, change: Change, by: User | None, on: date) -> RateBook:
    """A new revision of the rates of the day. What was measured stays so whatever the rates are: rates saved
    ahead get the same list. Raises Refused with the page's fields."""
    locked_studio()
    revision, book, _unread = readable_book(on)
    changed = change(form, revision, book)
    parse(RateBook, dump(changed))  # its limits: how many plates, how high a rate
    save_book(changed, by, on, frozenset({"failures_per_hour"} if change is _hazard_as_rate else ()))
    for later in later_books(on):
        ahead = book_if_readable(later)
        if ahead and ahead.measured != changed.measured:
            save_book(replace(ahead, measured=changed.measured), by, later.effective_from)
    return changed


def _one_more(form: Form, _revision: RateBookRevision, book: RateBook) -> RateBook:
    typed = {name: form[name].strip() for name in FIELDS}
    for name in ("estimated_minutes", "measured_minutes"):
        typed[name] = _minutes(typed[name])
    if typed["failed"] == "on":  # nobody weighs a failed plate
        typed |= {name: typed[name] or "0" for name in ("estimated_g", "measured_g")}
    plate = parse(Measured, typed)
    refuse_all(_strangers(plate, book))
    try:
        experience_of((*book.measured, plate))
    except Refused as refused:
        raise Refused(*_at_fields(refused.problems, f"measured.{len(book.measured)}.")) from None
    return replace(book, measured=(*book.measured, plate))


def _one_less(form: Form, _revision: RateBookRevision, book: RateBook) -> RateBook:
    places = [place for place, plate in enumerate(book.measured) if plate_key(plate) == form["remove"]]
    if not places:
        raise Refused.because("measured", "there is no such plate in the list", "choose one of those below")
    left = [plate for place, plate in enumerate(book.measured) if place != places[-1]]
    return replace(book, measured=tuple(left))


def _as_before(form: Form, revision: RateBookRevision, book: RateBook) -> RateBook:
    _refuse_other_list(form, book)
    earlier = before(revision, book)
    if earlier is None:
        raise Refused.because("measured", "the list was never another", "take single plates out instead")
    experience_of(earlier)
    return replace(book, measured=earlier)


def _hazard_as_rate(form: Form, _revision: RateBookRevision, book: RateBook) -> RateBook:
    _refuse_other_list(form, book)
    hazard = all_hazard(book.measured)
    if hazard is None or not enough(hazard):
        reason = "the plates measured so far say too little of failures"
        raise Refused.because("measured", reason, "enter more of them, failed ones too")
    return replace(book, failures_per_hour=float(f"{hazard.per_hour:.3g}"))


def _refuse_other_list(form: Form, book: RateBook) -> None:
    """What is undone or reckoned with is the list that was seen."""
    if form["list"] != list_key(book):
        reason = "somebody saved rates or plates meanwhile"
        raise Conflict.because("list", reason, "look at the list as it is now")


ACTIONS: dict[str, Change] = {
    "remove": _one_less,
    "undo": _as_before,
    "hazard": _hazard_as_rate,
    "": _one_more,
}
"""By the button that was pressed."""


def _minutes(text: str) -> str:
    """Hours and minutes as printers show them, in minutes; anything else as it is."""
    clock = CLOCK.fullmatch(text)
    return str(60 * int(clock[1]) + int(clock[2] or 0)) if clock else text


def _strangers(plate: Measured, book: RateBook) -> Iterator[Problem]:
    printers = {printer.name: printer for printer in book.printers}
    if plate.printer not in printers:
        yield Problem("printer", f"no printer is called {plate.printer}", f"one of {', '.join(printers)}")
        return
    known = [STANDARD, *(own.of for own in printers[plate.printer].recipes)]
    if plate.recipe not in known:
        reason = f"{plate.printer} has no recipe for {plate.recipe}"
        yield Problem("recipe", reason, f"one of {', '.join(known)}")


def _at_fields(problems: Iterable[Problem], prefix: str) -> Iterator[Problem]:
    """The problems of the new row beside its fields."""
    for problem in problems:
        yield replace(problem, field=problem.field.removeprefix(prefix))
