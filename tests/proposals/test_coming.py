"""What might come: what nobody has answered is dated as of now and behind the others; a slot can be held."""

from dataclasses import replace
from datetime import date, datetime, time, timedelta
from html import unescape

import pytest
from django.utils import timezone

from studio.commissions.estimating import estimate_option
from studio.making.booked import amounts, summed
from studio.making.shop import calendar_of
from studio.problem import Conflict, Problem, Refused
from studio.proposals.booking import amounts_of, booked_job, source_of
from studio.proposals.coming import MOST, coming, coming_of
from studio.proposals.days import days_named, promises_of
from studio.proposals.deciding import decide
from studio.proposals.holding import hold
from studio.proposals.issuing import issue_proposal, withdraw_issue
from studio.proposals.selling import begin_variation
from studio.proposals.stored import Damaged, read
from studio.workshop.bookings import booked, job_of, move
from studio.workshop.books import current_book, the_studio, voice_of
from studio.workshop.clock import today
from studio.workshop.shop import current_shop
from tests.proposals.booked import stocked
from tests.proposals.conftest import add_option, make_commission, small_design, yes_to

DAY = timedelta(days=1)


@pytest.fixture(autouse=True)
def _stocked(db):
    stocked()


@pytest.fixture
def other(issue, ms_adeyemi, owner):
    """A second proposal that nobody has answered, of another commission."""
    made = make_commission(ms_adeyemi)
    made.title = "Garden screen"
    made.save()
    add_option(made, "A", small_design("Indigo"))
    return issue_proposal(made, ("A",), owner, timezone.now())


@pytest.fixture
def at(issue):
    return f"/proposals/issues/{issue.public_id}/hold/"


@pytest.fixture
def page(commission):
    return f"/proposals/for/{commission.public_id}/"


def said(day: date) -> str:
    return voice_of(the_studio()).day(day)


def state(issue):
    job = job_of(source_of(issue))
    return (job.state, job.held_until) if job else None


def test_each_is_dated_as_of_now_and_behind_the_other(issue, other):
    """By a second way: the option anew, in a workshop that the other has taken its place in."""
    found = {each.issue.pk: each for each in coming(today())}
    assert found.keys() == {issue.pk, other.pk}
    for mine, its in ((issue, other), (other, issue)):
        told, behind = found[mine.pk], job_of(source_of(its))
        option = mine.proposal.commission.options.get(letter=told.letter)
        shop = current_shop(today(), more=behind.amounts)
        assert (told.now_on, told.after_on) == (
            estimate_option(option, today()).dates.held_on,
            estimate_option(option, today(), shop).dates.held_on,
        )
        assert told.now_on < told.after_on
        assert (told.others, told.why_not, told.held, told.lapsed) == (1, None, None, None)


def test_what_they_say_comes_true(issue, other):
    """The other says yes first: the day that was told for that case is the day of now."""
    behind = coming_of(other, today()).after_on
    decide(issue, yes_to(issue, coming_of(issue, today()).letter), timezone.now())
    left = coming(today())
    assert [(each.issue.pk, each.now_on, each.others) for each in left] == [(other.pk, behind, 0)]
    assert coming_of(issue, today()) is None


@pytest.mark.parametrize("what", ["withdrawn", "declined", "over", "replaced"])
def test_what_cannot_be_approved_any_more_does_not_come(issue, other, owner, commission, what):
    day = today()
    if what == "withdrawn":
        withdraw_issue(issue, owner, timezone.now())
    elif what == "declined":
        no = replace(yes_to(issue), answer="declined", letter="", ready_on=None)
        decide(issue, no, timezone.now())
    elif what == "over":
        day = issue.valid_until + DAY
    else:
        issue_proposal(commission, ("A",), owner, timezone.now())
    assert issue.pk not in [each.issue.pk for each in coming(day)]
    assert len(coming(day)) == {"over": 0, "replaced": 2}.get(what, 1)


def test_so_many_of_the_newest_are_reckoned_with(issue, other, monkeypatch):
    assert MOST == 12
    monkeypatch.setattr("studio.proposals.coming.MOST", 1)
    assert [(each.issue.pk, each.others) for each in coming(today())] == [(other.pk, 0)]


def test_a_printer_that_is_gone_is_said_for_what_it_was_to_print(issue, other, monkeypatch, signed_in):
    gone = Problem("making.plates", "its plates were made for “Sold one”", "one of Small bed")
    monkeypatch.setattr("studio.proposals.coming._day", lambda offer, *_: gone)
    page = unescape(signed_in.get("/proposals/coming/").content.decode())
    assert page.count("no day: its plates were made for “Sold one”") == 2


def test_what_cannot_be_read_is_said_beside_the_others(issue, other, signed_in, monkeypatch):
    def damaged(each):
        if each.pk == issue.pk:
            raise Damaged("a stored document has changed")
        return read(each)

    monkeypatch.setattr("studio.proposals.coming.read", damaged)
    page = unescape(signed_in.get("/proposals/coming/").content.decode())
    assert "no day: what is stored of it is not what was sealed" in page
    assert said(coming_of(other, today()).now_on) in page


def test_the_page_says_what_moves(issue, other, signed_in):
    page = unescape(signed_in.get("/proposals/coming/").content.decode())
    told = coming_of(other, today())
    moved = f'the day of <span class="name" dir="auto">Garden screen</span> moves to {said(told.after_on)}.'
    assert f"If both say yes and this is the second, {moved}" in page
    assert said(told.now_on) in page
    withdraw_issue(issue, None, timezone.now())
    withdraw_issue(other, None, timezone.now())
    assert "No proposal is waiting for an answer." in signed_in.get("/proposals/coming/").content.decode()


def test_the_issues_page_says_it_of_one(issue, other, page, signed_in):
    told = coming_of(issue, today())
    shown = unescape(signed_in.get(page).content.decode())
    assert (
        f"option {told.letter}, which takes most of it, would be ready by {said(told.now_on)}; if the other"
        in shown
    )
    assert f"approved first, by <strong>{said(told.after_on)}</strong>" in shown


def test_no_place_is_sold_twice(issue, other, owner):
    """A yes agrees to the issued day only while it is left: behind the other's, to what is told for
    that case. With a slot held nobody comes in between."""
    was = promises_of(read(other).figures)["A"]
    behind, stale = coming_of(other, today()).after_on, yes_to(other)
    assert stale.ready_on == was.ready_on < behind
    decide(issue, yes_to(issue, "B"), timezone.now())
    with pytest.raises(Conflict, match="is ready by"):
        decide(other, stale, timezone.now())
    hold(other, today(), 1, owner, today())
    assert days_named(other, read(other), today())["A"] == was
    hold(other, None, 2, owner, today())
    decision = decide(other, yes_to(other), timezone.now())
    assert decision.agreed_on == behind
    late = days_named(other, read(other), today())["A"]
    assert (decision.agreed_days, late.starts_on) == (late.working_days, was.starts_on)


def test_work_released_since_the_issue_was_not_under_way_on_its_day(issue, monkeypatch):
    """On the eve of the promised start it waits like what is not released: nobody has made any of it yet.
    What was released by the day of issue has gone on since."""
    hours = amounts(printer_minutes={printer.name: 60 * 150 for printer in current_book(today())[1].printers})
    eve = promises_of(read(issue).figures)["A"].starts_on - DAY

    def ready(*states: str, on: date | None = None) -> date:
        noon, job = timezone.make_aware(datetime.combine(on or today(), time(12))), f"{on} {states}"
        with monkeypatch.context() as patch:
            patch.setattr(timezone, "now", lambda: noon)
            for state in states:
                move(job, f"{job} {state}", state, hours)
        found = days_named(issue, read(issue), eve)["A"].ready_on
        move(job, f"{job} over", "cancelled")
        return found

    waiting = ready("firm")
    assert waiting > promises_of(read(issue).figures)["A"].ready_on
    assert ready("firm", "released") < waiting
    assert ready("firm", "released", on=eve) == waiting


def test_an_issued_day_never_comes_earlier_and_stays_while_nobody_comes_in_between(issue):
    promised = promises_of(read(issue).figures)
    start = promised["A"].starts_on
    for day in (today(), today() + DAY, start):
        assert days_named(issue, read(issue), day) == promised


def test_a_held_slot_keeps_its_own_clients_day(issue, other, owner):
    """Once the start of its promise is over, a place taken by another moves what is not held; what is held is
    ready as many working days from now as were promised."""
    hours = amounts(printer_minutes={printer.name: 60 * 300 for printer in current_book(today())[1].printers})
    move("other-job", "other-job", "firm", hours)
    for each in (issue, other):
        was = promises_of(read(each).figures)["A"]
        later = was.starts_on + DAY
        live = days_named(each, read(each), later)["A"]
        hold(each, min(each.valid_until, later + DAY), 1, owner, today())
        held = days_named(each, read(each), later)["A"]
        assert held == was.as_of(later, calendar_of(current_shop(today())))
        assert (held.working_days, held.ready_on < live.ready_on) == (was.working_days, True)
        assert days_named(each, read(each), later + 2 * DAY)["A"].ready_on > held.ready_on  # it is over


def test_a_client_reads_nothing_of_bookings(issue, other, link, client, owner):
    hold(issue, today() + DAY, 1, owner, today())
    shown = client.get(f"/p/{link.token}/").content.decode().lower()
    assert not [word for word in ("slot", "booked", "held until", "might come") if word in shown]


def test_a_slot_is_held_extended_and_let_go(issue, other, owner, at, page, signed_in):
    alone = coming_of(other, today())
    until, longer = today() + 3 * DAY, today() + 5 * DAY
    for steps, day in ((1, until), (2, longer)):
        answer = signed_in.post(at, {"until": day.isoformat(), "steps": steps}, follow=True)
        assert f"The slot is held until {said(day)}." in answer.content.decode()
        assert state(issue) == ("held", day)
    assert booked(today()).taken == job_of(source_of(issue)).amounts
    assert booked(longer + DAY).taken == {}
    behind = coming_of(other, today())
    assert (behind.now_on, behind.others) == (alone.after_on, 0)  # it is taken already
    assert coming_of(issue, today()).held == longer
    shown = signed_in.get(page).content.decode()
    assert f"</span> until {said(longer)}: others are dated as if this was sold." in shown
    assert 'name="steps" value="3"' in shown
    signed_in.post(at, {"let_go": "yes", "until": "", "steps": 3})
    assert (state(issue), booked(today()).taken) == (("offered", None), {})
    assert coming_of(other, today()).now_on == alone.now_on


def test_a_hold_that_is_over_is_told_apart(issue, other, owner, signed_in, monkeypatch):
    hold(issue, today(), 1, owner, today())
    tomorrow = today() + DAY
    found = coming_of(issue, tomorrow)
    assert (found.held, found.lapsed) == (None, today())
    assert coming_of(other, tomorrow).others == 1
    was = said(today())
    for place in ("coming_views", "views"):
        monkeypatch.setattr(f"studio.proposals.{place}.today", lambda: tomorrow)
    assert f"was held until {was}" in signed_in.get("/proposals/coming/").content.decode()
    shown = signed_in.get(f"/proposals/for/{issue.proposal.commission.public_id}/").content.decode()
    assert f"The slot was held until {was}; it is free for others now." in shown
    monkeypatch.setattr("studio.board.views.today", lambda: tomorrow)
    assert f"Slot was held until {was}" in signed_in.get("/").content.decode()


def test_the_yes_takes_the_slot(issue, link, owner):
    hold(issue, today() + DAY, 1, owner, today())
    decision = decide(issue, yes_to(issue, "B"), timezone.now(), link=link)
    assert (booked_job(issue).state, booked(today()).taken) == ("firm", amounts_of(decision))


def test_a_later_issue_keeps_the_slot(issue, commission, owner):
    until = today() + 2 * DAY
    hold(issue, until, 1, owner, today())
    again = issue_proposal(commission, ("A",), owner, timezone.now())
    assert (state(issue), state(again)) == (("cancelled", None), ("held", until))
    assert booked(today()).taken == job_of(source_of(again)).amounts


def test_a_slot_for_what_was_issued_before_offers_were_kept(issue, owner, monkeypatch):
    for place in ("booking", "holding", "coming"):
        monkeypatch.setattr(f"studio.proposals.{place}.source_of", lambda each: f"older-{each.pk}")
    assert coming_of(issue, today()).steps == 0
    hold(issue, today(), 0, owner, today())
    job = job_of(f"older-{issue.pk}")
    assert job.amounts == summed([booked(today()).taken])
    assert job.state == "held"


@pytest.mark.parametrize(
    ("posted", "status", "told"),
    [
        ({"until": "soon"}, 422, "found 'soon'"),
        ({"until": "\x00"}, 422, "a day such as 2026-03-31"),
        ({"until": "9" * 5000}, 422, "a day such as"),
        ({}, 422, "a day such as"),
        ({"until": "2020-01-01"}, 422, "The price holds from today to"),
        ({"until": "9999-12-31"}, 422, "A day on which the price still holds"),
        ({"until": "today", "steps": "7"}, 409, "changed meanwhile"),
        ({"until": "today", "steps": "x"}, 409, "changed meanwhile"),
    ],
)
def test_wrong_days_are_told_and_hold_nothing(issue, at, signed_in, posted, status, told):
    if posted.get("until") == "today":
        posted = {**posted, "until": today().isoformat()}
    answer = signed_in.post(at, {"steps": "1", **posted})
    assert answer.status_code == status
    assert told.lower() in unescape(answer.content.decode()).lower()
    assert state(issue) == ("offered", None)


def test_what_was_typed_stays(issue, at, signed_in):
    answer = signed_in.post(at, {"steps": "1", "until": "2020-01-01"}).content.decode()
    assert 'name="until" type="date" value="2020-01-01"' in answer


def test_two_who_hold_at_once(issue, at, signed_in):
    posted = {"steps": "1", "until": today().isoformat()}
    assert [signed_in.post(at, posted).status_code for _twice in range(2)] == [302, 302]  # one pressed twice
    assert job_of(source_of(issue)).steps == 2
    other = {"steps": "1", "until": (today() + DAY).isoformat()}
    assert signed_in.post(at, other).status_code == 409


def test_only_what_can_be_approved_is_held(issue, commission, owner, link):
    withdraw_issue(issue, owner, timezone.now())
    with pytest.raises(Conflict, match="withdrawn"):
        hold(issue, today(), 1, owner, today())
    again = issue_proposal(commission, ("A",), owner, timezone.now())
    decide(again, yes_to(again), timezone.now())
    with pytest.raises(Conflict, match="approved"):
        hold(again, today(), 2, owner, today())


def test_a_variation_takes_over_the_place_of_what_is_sold(issue, link, commission, owner, signed_in, page):
    """It is no slot of its own; what comes with it is the difference."""
    sold = decide(issue, yes_to(issue, "B"), timezone.now(), link=link)
    begin_variation(commission, owner, timezone.now())
    change = issue_proposal(commission, ("B",), owner, timezone.now())
    with pytest.raises(Refused, match="has a place already"):
        hold(change, today(), 1, owner, today())
    assert "Hold a slot" not in signed_in.get(page).content.decode()
    other = make_commission(commission.client)
    add_option(other, "A", small_design())
    waiting = issue_proposal(other, ("A",), owner, timezone.now())
    found = coming_of(waiting, today())
    assert (found.others, found.after) == (0, found.now)  # the same again takes nothing more
    assert booked(today()).taken == amounts_of(sold)


def test_a_hold_is_no_place_for_two(issue, other, owner):
    """Both held: each is dated behind the other, and neither behind itself."""
    for each in (issue, other):
        hold(each, today(), 1, owner, today())
    alone = {each.issue.pk: each for each in coming(today())}
    assert all(each.now == each.after for each in alone.values())


def test_the_board_tells_of_slots_and_of_what_is_not_booked(issue, other, owner, signed_in, monkeypatch):
    hold(issue, today() + DAY, 1, owner, today())
    page = signed_in.get("/").content.decode()
    assert f"Slot held until {said(today() + DAY)}" in page
    assert '<a href="/proposals/coming/">What might come</a>: 2 proposals that nobody has answered.' in page
    monkeypatch.setattr("studio.proposals.booking.making_of", lambda _issue, _stored: None)
    decide(other, yes_to(other), timezone.now())
    assert "not booked in the workshop" in signed_in.get("/").content.decode()


def test_the_calendar_tells_what_is_held_and_on_which_printers(issue, link, signed_in, monkeypatch):
    takes = amounts(printer_minutes={"Sold one": 90}, grams={"Sold out": 5})
    monkeypatch.setattr("studio.proposals.booking.frozen_amounts", lambda _making: takes)
    decide(issue, yes_to(issue), timezone.now(), link=link)
    page = signed_in.get("/workshop/calendar/").content.decode()
    source = source_of(issue)
    assert f'<a href="/proposals/jobs/{source}/" class="name" dir="auto">Niche panel, proposal' in page
    assert "(Sold one: not in your rates)" in page
    assert page.count("(not in your rates)") == 2
    assert signed_in.get(f"/proposals/jobs/{source}/")["Location"].startswith("/proposals/for/")
    assert signed_in.get("/proposals/jobs/nothing/").status_code == 404
    board = signed_in.get("/").content.decode()
    assert "Jobs are booked on Sold one</a>" in board
