"""What is typed on the calendar's page and becomes movements: the shelf, jobs that no proposal has, grams
that are promised."""

import re
from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal

from django.db import transaction
from django.db.models import QuerySet

from studio.ids import new_public_id
from studio.making.booked import Amounts, State, amounts, in_hundredths
from studio.making.shop import Promise, Stock
from studio.people.models import User
from studio.problem import Refused
from studio.workshop.bookings import BookedJob, move, open_jobs
from studio.workshop.books import locked_studio
from studio.workshop.models import Booking, BookingStep, StockMovement
from studio.workshop.stock import counted, shelf

__all__ = [
    "changed_by", "job_lines", "new_source", "replace_typed", "save_jobs", "save_stock", "stock_lines",
    "typed_grams", "typed_jobs",
]  # fmt: skip

GRAMS = "by-hand-grams"
"""All grams that are typed as promised are one job."""
SOURCE = re.compile(r"by-hand-[0-9a-z]{12}")
HUNDREDTHS = 100
AN_HOUR = 6000


def new_source() -> str:
    return f"by-hand-{new_public_id()}"


def stock_lines(filaments: Sequence[str]) -> list[dict[str, str]]:
    """A line of texts for each filament of the rate book, and for others of which there is something."""
    lies, promised = _on_shelf(), _grams()
    return [
        {
            "filament": name,
            "shelf_g": _text(lies.get(name, 0), HUNDREDTHS),
            "promised_g": _text(promised.get(("grams", name), 0), HUNDREDTHS),
        }
        for name in dict.fromkeys((*filaments, *sorted(lies), *(name for _, name in sorted(promised))))
    ]


def job_lines() -> list[dict[str, str]]:
    """A line of texts for each job typed by hand, under its source as the line's key."""
    return [
        {
            "text": job.words,
            "printer": next((name for kind, name in job.amounts if kind == "printer minutes"), ""),
            "printer_hours": _text(job.total("printer minutes"), AN_HOUR),
            "people_hours": _text(job.total("people minutes"), AN_HOUR),
            "key": job.source,
        }
        for job in typed_jobs()
    ]


def save_stock(rows: Sequence[Stock], by: User | None) -> None:
    """What was counted, and what is promised of it; a filament without a row has nothing. What is as it was
    shown was not counted. The studio is locked by the caller."""
    lies = _on_shelf()
    typed = {row.filament: in_hundredths(row.shelf_g) for row in rows}
    for filament in {**lies, **typed}:
        if typed.get(filament, 0) != lies.get(filament, 0):
            counted(filament, typed.get(filament, 0), by)
    promised = amounts(grams={row.filament: row.promised_g for row in rows})
    if promised != _grams():
        _move(GRAMS, "firm", promised, "", by)


def save_jobs(jobs: Sequence[tuple[str, Promise]], by: User | None) -> None:
    """Jobs as typed, each under the key of its line, in the place of those that are booked by hand. The words
    of a job stay as they are: under other words it is booked anew. The studio is locked by the caller."""
    booked = {job.source: job for job in typed_jobs()}
    kept = {key for key, typed in jobs if key in booked and booked[key].words == typed.text}
    for source in booked.keys() - kept:
        _move(source, "cancelled", None, "", by)
    for key, typed in jobs:
        takes = _taken_by(typed)
        if key not in kept:
            _move(new_source() if key in booked else _free(key), "firm", takes, typed.text, by)
        elif takes != booked[key].amounts:
            _move(key, booked[key].state, takes, "", by)


def typed_jobs() -> list[BookedJob]:
    """Those that a job of ours may take the place of, without the grams."""
    return [job for job in open_jobs(by_hand=True) if job.source != GRAMS]


def typed_grams() -> Mapping[str, int]:
    """Hundredths of a gram by filament that are typed as promised."""
    return {name: hundredths for (_kind, name), hundredths in _grams().items()}


@transaction.atomic
def replace_typed(sources: Iterable[str], grams: Mapping[str, int], by: User | None) -> None:
    """Cancel typed jobs and take `grams` (hundredths by filament) off what is typed as promised, as far as it
    goes: they are booked otherwise now. Raises Refused where a job is not booked any more."""
    locked_studio()
    booked = {job.source for job in typed_jobs()}
    for source in sources:
        if source not in booked:
            reason = "a job typed by hand is not booked any more"
            raise Refused.because("replaces", reason, "look at what is typed, then choose again")
        _move(source, "cancelled", None, "", by)
    left = {name: max(0, n - grams.get(name, 0)) for name, n in typed_grams().items()}
    if left != typed_grams():
        _move(GRAMS, "firm", {("grams", name): n for name, n in left.items() if n}, "", by)


def changed_by(path: str) -> int | None:
    """The key of the user who last changed what is at a dotted path of the page: a job, a line of stock."""
    kind, _, rest = path.partition(".")
    if kind == "promised":
        return _last(BookingStep.objects.filter(booking__source=rest.partition(".")[0]))
    filament, _, field = rest.rpartition(".")
    if field == "promised_g":
        grams = {"movements__kind": "grams", "movements__name": filament}
        return _last(BookingStep.objects.filter(booking__source=GRAMS, **grams))
    return _last(StockMovement.objects.filter(filament=filament or rest))


def _last(rows: QuerySet[BookingStep] | QuerySet[StockMovement]) -> int | None:
    return rows.order_by("-pk").values_list("by_id", flat=True).first()


def _free(key: str) -> str:
    """The source that a new line was given when it was added, so that a page posted twice books once."""
    taken = not SOURCE.fullmatch(key) or Booking.objects.filter(source=key).exists()
    return new_source() if taken else key


def _move(source: str, state: State, takes: Amounts | None, words: str, by: User | None) -> None:
    move(source, f"{source}-{new_public_id()}", state, takes, words=words, by=by, by_hand=True)


def _on_shelf() -> dict[str, int]:
    """More taken off than was ever put on is shown as nothing."""
    return {name: hundredths for name, hundredths in shelf().items() if hundredths > 0}


def _grams() -> Amounts:
    return next((job.amounts for job in open_jobs(by_hand=True) if job.source == GRAMS), {})


def _taken_by(typed: Promise) -> Amounts:
    printer, people = (60 * Decimal(str(hours)) for hours in (typed.printer_hours, typed.people_hours))
    return amounts(printer_minutes={typed.printer: printer}, people_minutes={"": people})


def _text(hundredths: int, parts: int) -> str:
    """Four places are enough to find the same hundredths of a minute again in hours."""
    return f"{hundredths / parts:.4f}".rstrip("0").rstrip(".")
