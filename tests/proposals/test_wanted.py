"""The day by which a client wants it, on their proposal: whether it holds, and what would make it hold."""

from datetime import date, datetime, time, timedelta
from html import unescape

import pytest
from django.utils import timezone

from studio.commissions.estimating import estimate_option
from studio.making.booked import amounts
from studio.making.working_days import working_days_of
from studio.proposals.coming import coming_of
from studio.proposals.days import promises_of
from studio.proposals.holding import hold
from studio.proposals.issuing import issue_proposal
from studio.proposals.shown import voice_in
from studio.proposals.stored import read
from studio.workshop.bookings import move
from studio.workshop.books import current_book
from studio.workshop.clock import today
from studio.workshop.shop import readable_calendar
from tests.proposals.booked import stocked
from tests.proposals.conftest import add_option, make_commission, small_design


@pytest.fixture(autouse=True)
def _stocked(db):
    stocked()


@pytest.fixture
def dates(commission):
    return estimate_option(commission.options.get(letter="A"), today()).dates


def issued(commission, owner, wanted_on: date):
    commission.wanted_on = wanted_on
    commission.save()
    return issue_proposal(commission, ("A",), owner, timezone.now())


def page(client, issue) -> str:
    return " ".join(unescape(client.get(f"/p/{issue.links.get().token}/").content.decode()).split())


def working(day: date, later: int) -> date:
    """So many working days later, or earlier."""
    works, step = working_days_of(readable_calendar()[0]), timedelta(days=1 if later > 0 else -1)
    while later:
        day += step
        later -= (1 if later > 0 else -1) * works.works(day)
    return day


@pytest.mark.parametrize("later", [0, 3])
def test_a_day_that_holds(client, commission, owner, dates, later):
    """Wanted on the day on which it is on the wall: deposit and colours may take as long as was promised. So
    many working days later they may take as many longer, if the place is kept."""
    assert (dates.site_days, dates.hung_from) == (1, working(dates.held_on, 1))
    wanted_on = working(dates.hung_from, later)
    issue = issued(commission, owner, wanted_on)
    day = voice_in(read(issue).figures).weekday
    start = day(working(dates.starts_on, later))
    kept = f", after {day(dates.starts_on)} if we keep your place in the workshop: ask us" if later else ""
    told = (
        f"Wanted by {day(wanted_on)}: it holds, on your wall by {day(dates.hung_from)}. "
        f"Deposit and colours may take until {start}{kept}."
    )
    assert told in page(client, issue)
    assert read(issue).sheet.options[0].wanted == told


def test_a_day_that_does_not_hold_says_what_would(client, commission, owner, dates):
    """A working day too soon: deposit and colours are there a working day sooner, or it is collected."""
    wanted_on = working(dates.hung_from, -1)
    issue = issued(commission, owner, wanted_on)
    day = voice_in(read(issue).figures).weekday
    ways = f"with deposit cleared and colours approved by {day(working(dates.starts_on, -1))}"
    told = f"Wanted by {day(wanted_on)}: it does not hold, on your wall by {day(dates.hung_from)}."
    assert f"{told} It would {ways} or if it is collected." in page(client, issue)


def test_once_days_move_it_is_judged_as_of_now(client, commission, owner, dates, monkeypatch):
    """It held when it was issued; the start has passed, and others took the printers."""
    issue = issued(commission, owner, working(dates.hung_from, 1))
    assert ": it holds, on" in page(client, issue)
    hours = amounts(printer_minutes={printer.name: 60 * 200 for printer in current_book(today())[1].printers})
    move("other-job", "other-job", "firm", hours)
    assert ": it does not hold, on" in page(client, issue)
    start = promises_of(read(issue).figures)["A"].starts_on
    later = timezone.make_aware(datetime.combine(start + timedelta(days=1), time(12)))
    monkeypatch.setattr(timezone, "now", lambda: later)
    assert ": it does not hold, on" in page(client, issue)
    assert ": it holds, on" not in page(client, issue)


def test_a_slot_makes_it_hold_where_others_would_come_first(client, commission, owner, dates, signed_in):
    issue = issued(commission, owner, dates.hung_from)
    other = make_commission(commission.client)
    add_option(other, "A", small_design("Indigo"))
    assert not coming_of(issue, today()).slot_helps
    issue_proposal(other, ("A",), owner, timezone.now())
    assert coming_of(issue, today()).slot_helps
    at = f"/proposals/for/{commission.public_id}/"
    said = "The day by which it is wanted holds now, and not behind the others: a slot held makes it hold."
    assert said in signed_in.get(at).content.decode()
    hold(issue, today(), 1, owner, today())
    assert not coming_of(issue, today()).slot_helps


def test_nothing_is_said_where_no_day_was_given(client, issue):
    assert "Wanted by" not in page(client, issue)
    assert all("wanted" not in option for option in read(issue).figures["options"])
