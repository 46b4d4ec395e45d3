"""The page on which a booking is changed, takes the place of what was typed by hand, or is made at all for
what was frozen before amounts were."""

import json
from dataclasses import replace
from decimal import Decimal
from html import unescape

import pytest
from django.utils import timezone

from studio.commissions.estimating import estimate_option
from studio.document import parse
from studio.forms import Form, flat
from studio.making.booked import amounts
from studio.making.shop import Stock
from studio.problem import Conflict, Refused
from studio.proposals import booking
from studio.proposals.booking import amounts_of, book, booked_job, booked_state, rebook
from studio.proposals.deciding import decide
from studio.proposals.models import ProposalIssue
from studio.proposals.selling import cancel, release
from studio.proposals.stored import read
from studio.proposals.takes import Taken
from studio.workshop.bookings import booked, move, open_jobs, state_of
from studio.workshop.by_hand import replace_typed, save_stock, typed_grams
from studio.workshop.clock import today
from studio.workshop.shop import current_shop
from tests.proposals.booked import filled, varied
from tests.proposals.conftest import add_option, make_commission, small_design, yes_to
from tests.proposals.test_booking import handed_over
from tests.proposals.test_freeze import golden


@pytest.fixture
def sold(issue, link):
    return decide(issue, yes_to(issue, "B"), timezone.now(), link=link)


@pytest.fixture
def untold(issue, link, monkeypatch):
    """A yes to an issue whose documents are of schema 1: nobody has booked it."""
    figures = json.loads(golden("figures", 1))
    figures["options"] = [figures["options"][0] | {"letter": "B"}]
    stored = replace(read(issue), figures=figures)
    monkeypatch.setattr(booking, "making_of", lambda _issue, _stored: None)
    found = decide(issue, yes_to(issue, "B"), timezone.now(), link=link)
    monkeypatch.setattr(booking, "read", lambda _issue: stored)
    return found


@pytest.fixture
def address(issue):
    return f"/proposals/issues/{issue.public_id}/book/"


@pytest.fixture
def typed(db):
    """Two jobs and some grams, as the workshop's calendar types them."""
    takes = amounts(printer_minutes={"Small bed": 600}, people_minutes={"": 120})
    for source in ("by-hand-aaaaaaaaaaaa", "by-hand-bbbbbbbbbbbb"):
        move(source, source, "firm", takes, words=f"Job {source[-1]}", by_hand=True)
    save_stock([Stock(filament="Walnut", promised_g=90), Stock(filament="Tea", promised_g=40)], None)
    return "by-hand-aaaaaaaaaaaa"


def test_the_same_amounts_come_back_from_the_form(sold):
    found = amounts_of(sold)
    form = Form(flat(Taken.values(found), "takes"))
    assert parse(Taken, form.document("takes.")).amounts == found


def test_the_page_shows_what_is_booked(sold, issue, address, signed_in):
    page = signed_in.get(address).content.decode()
    assert "This job is booked: sold." in page
    assert parse(Taken, Form(filled(page)).document("takes.")).amounts == amounts_of(sold)
    proposal = signed_in.get(f"/proposals/for/{issue.proposal.commission.public_id}/").content.decode()
    assert f'Booked in the workshop: <a href="{address}">sold</a>' in proposal


def test_what_was_typed_for_it_ends(sold, issue, address, signed_in, typed):
    """Its hours and grams do not count twice; another job and other grams stay."""
    takes = amounts_of(sold)
    posted = filled(signed_in.get(address).content.decode()) | {"takes.state": "firm"}
    assert posted[f"takes.replaces.{typed}"] == "off"
    ticked = {f"takes.replaces.{typed}": "on", "takes.replaces_grams": "on"}
    assert signed_in.post(address, posted | ticked).status_code == 302
    assert (state_of(typed), state_of("by-hand-bbbbbbbbbbbb")) == ("cancelled", "firm")
    walnut = max(0, 9000 - takes["grams", "Walnut"])
    assert typed_grams() == {name: n for name, n in (("Walnut", walnut), ("Tea", 4000)) if n}
    grams = {"Walnut": walnut / 100, "Tea": 40}
    other = amounts(printer_minutes={"Small bed": 600}, people_minutes={"": 120}, grams=grams)
    assert booked(today()).taken == {key: takes.get(key, 0) + other.get(key, 0) for key in {*takes, *other}}
    assert current_shop(today()).promised


def test_an_issue_of_schema_1_is_booked_once_as_confirmed(untold, issue, address, signed_in, typed):
    """Nothing is recomputed: the page begins with what its figures tell."""
    posted = filled(signed_in.get(address).content.decode())
    assert posted["takes.people.0.hours"] == "10"
    assert [posted[f"takes.printers.{n}.name"] for n in (0, 1)] == ["Small bed", "Large bed"]
    posted |= {"takes.printers.0.hours": "5.4", "takes.van_days": "0.5", f"takes.replaces.{typed}": "on"}
    for _again in range(2):
        assert signed_in.post(address, posted).status_code == 302
    hours = {"printer_minutes": {"Small bed": 324}, "people_minutes": {"": 600}}
    takes = amounts(**hours, grams={"Tea": 193}, van_days=Decimal("0.5"))
    assert [(job.state, job.amounts) for job in open_jobs(by_hand=False)] == [("firm", takes)]
    assert (state_of(typed), state_of("by-hand-bbbbbbbbbbbb")) == ("cancelled", "firm")


def test_a_second_person_is_told_that_their_figures_are_not_booked(untold, issue, owner, address, signed_in):
    posted = filled(signed_in.get(address).content.decode())
    book(issue, Taken(van_days=Decimal(3)), owner)
    answer = signed_in.post(address, posted | {"takes.van_days": "2"})
    assert answer.status_code == 409
    assert "It is booked already" in answer.content.decode()
    assert booked(today()).taken == amounts(van_days=3)
    with pytest.raises(Conflict, match="already"):
        book(ProposalIssue.objects.get(), Taken(), None)


WRONG = [
    ({"takes.van_days": "soon"}, "soon"),
    ({"takes.van_days": "NaN"}, "NaN"),
    ({"takes.van_days": "9" * 5000}, "999"),
    ({"takes.steps": "-1"}, "-1"),
    ({"takes.steps": "7", "takes.state": "firm"}, "changed meanwhile"),
    ({"takes.steps": "x", "takes.state": "lost\x00"}, "“x”"),
    ({"takes.printers.0.hours": "-1"}, "-1"),
    (
        {"takes.printers.0.name": "Sold one", "takes.printers.0.hours": "1"},
        "No printer is called “Sold one” today",
    ),
    ({"takes.replaces.by-hand-cccccccccccc": "on"}, "not booked any more"),
]


@pytest.mark.parametrize(("change", "told"), WRONG)
def test_wrong_figures_are_told_and_nothing_is_booked(untold, issue, address, signed_in, typed, change, told):
    posted = filled(signed_in.get(address).content.decode()) | {f"takes.replaces.{typed}": "on"}
    answer = signed_in.post(address, posted | change)
    assert answer.status_code == (409 if told == "changed meanwhile" else 422)
    assert told in unescape(answer.content.decode())
    assert (booked_state(issue), state_of(typed)) == (None, "firm")


@pytest.mark.parametrize(("change", "told"), WRONG)
def test_wrong_figures_are_told_and_nothing_is_changed(sold, issue, address, signed_in, typed, change, told):
    before = booked_job(issue)
    posted = filled(signed_in.get(address).content.decode()) | {"takes.state": "firm"}
    answer = signed_in.post(address, posted | {f"takes.replaces.{typed}": "on"} | change)
    assert answer.status_code == (409 if told == "changed meanwhile" else 422)
    assert told in unescape(answer.content.decode())
    assert (booked_job(issue), state_of(typed)) == (before, "firm")


def test_only_what_is_sold_is_booked(issue, address, signed_in):
    assert signed_in.get(address).status_code == 404


def test_a_page_from_before_the_cancellation_books_nothing(
    untold, issue, commission, owner, address, signed_in
):
    posted = filled(signed_in.get(address).content.decode())
    cancel(commission, "Ms Adeyemi", "moves away", Decimal(0), owner, timezone.now())
    answer = signed_in.post(address, posted)
    assert answer.status_code == 422
    assert "It was cancelled" in answer.content.decode()
    assert booked(today()).taken == {}


def test_what_is_cancelled_cannot_be_changed(sold, issue, commission, owner, address, signed_in):
    cancel(commission, "Ms Adeyemi", "moves away", Decimal(0), owner, timezone.now())
    assert "<form method" not in signed_in.get(address).content.decode().split("<main")[1]


def test_hours_on_a_printer_that_is_gone_move_to_another(sold, issue, owner, address, signed_in):
    """Until then the studio is told, and they wait for every printer."""
    other = add_option(make_commission(issue.client), "A", small_design())
    rebook(issue, parse(Taken, {"printers": [{"name": "Sold one", "hours": "300"}], "steps": 2}), owner)
    waiting = estimate_option(other, today()).dates.held_on
    posted = filled(signed_in.get(address).content.decode()) | {"takes.state": "firm"}
    assert signed_in.post(address, posted).status_code == 422
    moved = {"takes.printers.0.hours": "0", "takes.printers.1.hours": "5"}
    assert signed_in.post(address, posted | moved).status_code == 302
    assert booked(today()).taken == amounts(printer_minutes={"Small bed": 300})
    assert estimate_option(other, today()).dates.held_on < waiting


def test_a_job_that_is_made_takes_nothing_and_can_be_taken_up_again(sold, issue, address, signed_in):
    for state, taken in (("done", {}), ("released", amounts_of(sold))):
        posted = filled(signed_in.get(address).content.decode())
        assert signed_in.post(address, posted | {"takes.state": state}).status_code == 302
        assert (booked_state(issue), booked(today()).taken) == (state, taken)


def test_what_is_handed_over_is_not_booked_any_more(untold, issue, commission, owner, signed_in):
    page = f"/proposals/for/{commission.public_id}/"
    assert "Book it in the workshop" in signed_in.get(page).content.decode()
    handed_over(commission, owner)
    assert "Book it in the workshop" not in signed_in.get(page).content.decode()
    with pytest.raises(Refused, match="handed over"):
        book(ProposalIssue.objects.get(), Taken(van_days=Decimal(1)), owner)
    assert booked(today()).taken == {}


def test_only_the_newest_yes_asks_to_be_booked(untold, issue, commission, owner, signed_in, monkeypatch):
    monkeypatch.undo()
    change, _yes = varied(commission, owner)
    page = signed_in.get(f"/proposals/for/{commission.public_id}/").content.decode()
    assert f"/issues/{change.public_id}/book/" in page
    assert f"/issues/{issue.public_id}/book/" not in page


def test_a_page_from_before_another_change_changes_nothing(sold, issue, address, signed_in):
    posted = filled(signed_in.get(address).content.decode()) | {"takes.state": "firm"}
    assert signed_in.post(address, posted | {"takes.van_days": "2"}).status_code == 302
    answer = signed_in.post(address, posted | {"takes.van_days": "3"})
    assert answer.status_code == 409
    assert "changed meanwhile" in answer.content.decode()
    assert booked(today()).taken["van days", ""] == 200


def test_what_is_booked_after_its_release_is_in_the_workshop(untold, issue, commission, owner):
    release(commission, today(), owner, timezone.now())
    book(issue, Taken(van_days=Decimal(1)), owner)
    assert (booked_state(issue), booked(today()).taken) == ("released", amounts(van_days=1))


def test_typed_grams_never_become_less_than_nothing(typed):
    replace_typed([], {"Walnut": 10**6, "Indigo": 5}, None)
    assert typed_grams() == {"Tea": 4000}
