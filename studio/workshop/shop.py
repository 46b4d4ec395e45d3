"""The state of the workshop that dates are made from: calendar, bookings, shelf."""

from datetime import date
from types import MappingProxyType
from typing import Any

from django.db.models import F, QuerySet, Subquery, Value

from studio.making.booked import Amounts, Kind, shop_state, summed
from studio.making.shop import Calendar, ShopState
from studio.memo import memo
from studio.people.models import User
from studio.problem import Problem
from studio.stored.door import Unreadable
from studio.stored.kinds import SHOP
from studio.workshop.bookings import UNDER_WAY, taken_sums, under_way_sums
from studio.workshop.books import book_of_text, first_readable, holding
from studio.workshop.models import RateBookRevision, ShopRevision
from studio.workshop.stock import shelf_sums

__all__ = ["NOTHING", "calendar_if_readable", "current_shop", "readable_calendar", "write_calendar"]

CALENDAR, BOOK = "calendar", "rate book"
NOTHING: Amounts = MappingProxyType({})


def current_shop(
    as_of: date, without: str = "", more: Amounts = NOTHING, going_since: date | None = None
) -> ShopState:
    """The workshop as of a day, in one query: holds that end before it take nothing, nor do jobs whose source
    starts with `without`. `more` is what others would take besides. Under way is what is released, if it
    was so on `going_since`, where that is given. Raises Unreadable: no date is promised by
    another calendar."""
    calendar, taken, lies = Calendar(), dict[tuple[Kind, str], int](), dict[str, int]()
    under_way, printers = dict[tuple[Kind, str], int](), tuple[str, ...]()
    sums = taken_sums(as_of, without), under_way_sums(without, going_since), shelf_sums()
    rows = _newest().union(_rates(as_of), *sums, all=True)
    for kind, name, hundredths in rows:
        if kind.startswith(UNDER_WAY):
            under_way[kind.removeprefix(UNDER_WAY), name] = int(hundredths)
        elif kind == CALENDAR:
            calendar = _read_calendar(name)
        elif kind == BOOK:
            printers = _printers(name)
        elif kind == "shelf":
            lies[name] = int(hundredths)
        else:
            taken[kind, name] = int(hundredths)
    return shop_state(calendar, summed([taken, more]), lies, printers, under_way)


def _newest() -> QuerySet[ShopRevision, Any]:
    """The newest document, as a row like those of the sums; none until one is saved."""
    newest = ShopRevision.objects.order_by("-pk").values("pk")[:1]
    rows = ShopRevision.objects.filter(pk=Subquery(newest)).order_by()
    row = rows.annotate(kind=Value(CALENDAR), name=F("document"), hundredths=Value(0))
    return row.values_list("kind", "name", "hundredths")


def _rates(as_of: date) -> QuerySet[RateBookRevision, Any]:
    """Likewise, of the rates that hold on a day."""
    rows = RateBookRevision.objects.filter(pk=Subquery(holding(as_of).values("pk")[:1])).order_by()
    row = rows.annotate(kind=Value(BOOK), name=F("document"), hundredths=Value(0))
    return row.values_list("kind", "name", "hundredths")


def _printers(text: str) -> tuple[str, ...]:
    """None where the rates cannot be read: whoever makes a price by them says so."""
    book = first_readable(book_of_text, [text])
    return tuple(printer.name for printer in book.printers) if book else ()


def readable_calendar() -> tuple[Calendar, tuple[Problem, ...]]:
    """The usual working week until one is saved; else as `books.readable_book`."""
    try:
        newest = ShopRevision.objects.first()
        return _read_calendar(newest.document) if newest else Calendar(), ()
    except Unreadable as unreadable:
        found = first_readable(_read_calendar, ShopRevision.objects.values_list("document", flat=True))
        return found or Calendar(), unreadable.problems


def calendar_if_readable(revision: ShopRevision) -> Calendar | None:
    return first_readable(_read_calendar, [revision.document])


def write_calendar(calendar: Calendar, by: User | None) -> ShopRevision:
    text, sha256 = SHOP.write_text(calendar)
    return ShopRevision.objects.create(by=by, document=text, sha256=sha256)


@memo
def _read_calendar(text: str) -> Calendar:
    """Revisions never change, so what was read once need not be read again."""
    return SHOP.read_text(text)
