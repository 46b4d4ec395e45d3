"""The workshop's state as it is typed: working days, hours, stock, what is promised. The first two are saved
as a document, the others become movements."""

from collections.abc import Callable, Iterator
from dataclasses import replace
from decimal import Decimal, InvalidOperation
from itertools import chain
from typing import Any

from django.db import transaction

from studio.document import dump, parse
from studio.form_tree import Known
from studio.forms import Form, flat
from studio.making.days import zone_of
from studio.making.shop import Calendar, ShopState, calendar_of, hours_of
from studio.meanwhile import based, caught_up
from studio.people.models import User
from studio.people.touched import called, last_changer
from studio.pricing.ranges import factor
from studio.pricing.rate_book import RateBook
from studio.problem import Problem, Refused
from studio.voice import Voice, number, said
from studio.voice import day as spoken_day
from studio.workshop.books import book_if_readable, later_books, locked_studio, readable_book, save_book
from studio.workshop.by_hand import changed_by, job_lines, new_source, save_jobs, save_stock, stock_lines
from studio.workshop.clock import today
from studio.workshop.models import ShopRevision
from studio.workshop.shop import calendar_if_readable, readable_calendar, write_calendar

__all__ = ["DAYS", "ZONES", "add_line", "calendar_form", "save_calendar", "strays"]

DAYS = tuple(enumerate(("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"), 1))
ZONES = (
    "Africa/Johannesburg", "America/Chicago", "America/Los_Angeles", "America/New_York", "America/Sao_Paulo",
    "Asia/Dubai", "Asia/Kolkata", "Asia/Singapore", "Asia/Tokyo", "Australia/Sydney",
    "Europe/Amsterdam", "Europe/Berlin", "Europe/Dublin", "Europe/London", "Europe/Madrid", "Europe/Oslo",
    "Europe/Paris", "Europe/Rome", "Europe/Vienna", "Europe/Warsaw", "Europe/Zurich", "Pacific/Auckland",
)  # fmt: skip
"""Offered, not required: any IANA name can be typed."""
KNOWN = Known(
    lists={"stock": ("filament",), "promised": (), "out_of_service": ("printer", "from_day")},
    words={f"day-{number}": name for number, name in DAYS},
)
LOOKED_BACK = 20
"""So many states are searched for who changed something."""


def calendar_form(book: RateBook) -> Form:
    """A line of stock for every filament, whether there is any or not."""
    values = _values(readable_calendar()[0])
    values["stock"] = stock_lines([filament.name for filament in book.filaments])
    values["promised"] = job_lines()
    return based(Form(flat(values)), KNOWN)


def _values(calendar: Calendar) -> dict[str, Any]:
    values: dict[str, Any] = dump(calendar)
    values["days_off"] = "\n".join(values["days_off"])
    values["labour_spread"] = f"{100 * calendar.labour_spread:.4g}"
    for day, _name in DAYS:
        values[f"day-{day}"] = day in calendar.working_days
    del values["working_days"]
    return values


@transaction.atomic
def save_calendar(posted: Form, by: User | None, book: RateBook) -> tuple[ShopRevision, str]:
    """A new state as typed, merged with what others saved since the page was made; the text tells what they
    changed. Raises Refused with the page's fields."""
    locked_studio()
    merged = caught_up(posted, calendar_form(book), KNOWN, _who(by))
    return merged.attempt(lambda: _saved(merged.form, by, book)), merged.told


def _who(reader: User | None) -> Callable[[str], str]:
    def who(path: str) -> str:
        if path.startswith(("stock.", "promised.")):
            return called(changed_by(path), reader)
        rows = ShopRevision.objects.all()[:LOOKED_BACK]
        read = ((each.by_id, calendar_if_readable(each)) for each in rows)
        history = ((user, flat(_values(calendar)).get(path)) for user, calendar in read if calendar)
        return last_changer(chain(history, [(None, flat(_values(Calendar())).get(path))]), reader)

    return who


def _saved(form: Form, by: User | None, book: RateBook) -> ShopRevision:
    typed = {name: value for name, value in form.document().items() if name in ShopState.__dataclass_fields__}
    typed["days_off"] = form["days_off"].split()
    typed["subdivision"] = form["subdivision"].strip() or None
    typed["labour_spread"] = _share(form["labour_spread"])
    typed["working_days"] = [day for day, _name in DAYS if form[f"day-{day}"] == "on"]
    if isinstance(typed.get("stock"), list):
        typed["stock"] = [row for row in typed["stock"] if not _nothing(row)]
    jobs = typed.get("promised", [])
    keys = [row.pop("key", "") for row in jobs if isinstance(row, dict)]
    try:
        shop = parse(ShopState, typed)
    except Refused as refused:
        raise Refused(*(_at_field(problem, form) for problem in refused.problems)) from None
    problems = [*_unknown_printers(shop, book), *_not_out(shop, book), *_hours(shop), *_no_zone(shop)]
    if problems:
        raise Refused(*problems)
    _keep_hours(shop, by)
    save_stock(shop.stock, by)
    save_jobs(list(zip(keys, shop.promised, strict=True)), by)
    return write_calendar(calendar_of(shop), by)


def _keep_hours(shop: Calendar, by: User | None) -> None:
    """Plates follow the hours, and prices the plates: options keep the hours of their own rate book, and new
    ones take these."""
    hours, on = hours_of(shop), today()
    _revision, book, _unread = readable_book(on)
    if book.hours != hours or "hours" not in book.set_on:
        save_book(replace(book, hours=hours), by, on, frozenset(("hours",)))
    for later in later_books(on):
        ahead = book_if_readable(later)
        if ahead and (ahead.hours != hours or "hours" not in ahead.set_on):
            save_book(replace(ahead, hours=hours), by, later.effective_from, frozenset(("hours",)))


def strays(calendar: Calendar, voice: Voice) -> str:
    """What a spread means: the factor that as many jobs stay within as promised days hold."""
    spread, percent = calendar.labour_spread, calendar.promise_holds_percent
    times = f"{voice.number(factor(spread, percent / 100), 1)} times the plan"
    return (
        f"At {voice.percent(100 * spread)}, {voice.odds(percent)} jobs take at most {times}. "
        "It is the sigma of the logarithm; 25 % is an example until you have measured."
    )


def add_line(form: Form, kind: str, book: RateBook) -> Form:
    """One more job, or one more time that printers are out of service."""
    if kind not in ("promised", "out_of_service"):
        return form
    numbers = [int(name.split(".")[1]) for name in form.values if name.startswith(f"{kind}.")]
    on, new = today().isoformat(), {"printer": book.printers[0].name}
    if kind == "promised":
        new |= {"text": "", "printer_hours": "0", "people_hours": "0", "key": new_source()}
    else:
        new |= {"count": "1", "from_day": on, "to_day": on, "why": ""}
    return Form({**form.values, **flat(new, f"{kind}.{max(numbers, default=-1) + 1}")})


def _share(percent: str) -> str:
    """Per cent as a share; what is no number stays as it was typed."""
    try:
        return str(Decimal(percent.replace(",", ".")) / 100)
    except InvalidOperation:
        return percent


def _nothing(row: Any) -> bool:
    return isinstance(row, dict) and all(
        str(row.get(name, "")).strip() in ("0", "") for name in ("shelf_g", "promised_g")
    )


def _at_field(problem: Problem, form: Form) -> Problem:
    """Lines of stock with nothing in them were left out: the problem goes back to its line."""
    parts = problem.field.split(".")
    if parts[0] == "days_off":
        return Problem("days_off", problem.reason, "give one date a line, such as 2026-12-24")
    if parts[0] == "labour_spread":
        return Problem("labour_spread", f"found “{form['labour_spread'][:40]}”", "give 0 to 150 %")
    if parts[0] == "working_days":
        return Problem("day-1", "no day is a working day", "tick at least one")
    if parts[0] == "stock" and len(parts) > 1:
        rows = form.document()["stock"]
        kept = [index for index, row in enumerate(rows) if not _nothing(row)]
        parts[1] = str(kept[int(parts[1])])
    return Problem(".".join(parts), problem.reason, problem.remedy)


def _unknown_printers(shop: ShopState, book: RateBook) -> list[Problem]:
    known, found = [printer.name for printer in book.printers], []
    for index, job in enumerate(shop.promised):
        if (job.printer or job.printer_hours) and job.printer not in known:
            reason = f"no printer is called {job.printer}" if job.printer else "it is printed on no printer"
            found.append(Problem(f"promised.{index}.printer", reason, f"one of {', '.join(known)}"))
    return found


def _not_out(shop: ShopState, book: RateBook) -> Iterator[Problem]:
    """Printers that cannot be out of service as it is typed."""
    counts = {printer.name: printer.count for printer in book.printers}
    for index, out in enumerate(shop.out_of_service):
        at, many = f"out_of_service.{index}", counts.get(out.printer)
        if many is None:
            reason = f"no printer is called {out.printer}" if out.printer else "no printer is named"
            yield Problem(f"{at}.printer", reason, f"one of {', '.join(counts)}")
        elif out.count > many:
            yield Problem(f"{at}.count", f"there are {many} of them", f"1 to {many}")
        if out.to_day < out.from_day:
            reason = said("it ends before it begins, on {}", spoken_day(out.from_day))
            yield Problem(f"{at}.to_day", reason, "the same day or a later one")


def _no_zone(shop: ShopState) -> list[Problem]:
    try:
        zone_of(shop)
    except Refused as refused:
        return [Problem("time_zone", problem.reason, problem.remedy) for problem in refused.problems]
    return []


def _hours(shop: ShopState) -> list[Problem]:
    if shop.attended_to_hour > shop.attended_from_hour:
        return []
    hours = number(shop.attended_from_hour), number(shop.attended_to_hour)
    reason = said("nobody is there from {} to {} o’clock", *hours)
    return [Problem("attended_to_hour", reason, "give a later hour")]
