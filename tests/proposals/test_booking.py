"""What was sold is booked once, with what was frozen, in place of what was typed for it."""

import json
import re
from dataclasses import replace
from decimal import Decimal
from html import unescape

import pytest
from django.utils import timezone

from studio.commissions.enquiry.about import about_form, save_about
from studio.commissions.estimating import estimate_option
from studio.commissions.models import Commission, Option
from studio.document import parse
from studio.forms import Form, flat
from studio.making.booked import amounts
from studio.making.shop import Stock
from studio.problem import Refused
from studio.proposals.booking import amounts_of, book, booked_state
from studio.proposals.deciding import decide
from studio.proposals.issuing import issue_proposal
from studio.proposals.models import ProposalIssue
from studio.proposals.selling import begin_variation, cancel, release
from studio.proposals.standing import Conflict
from studio.proposals.stored import costs_of, making_of, read
from studio.proposals.takes import Taken, frozen_amounts, told_amounts
from studio.workshop.bookings import booked, move, open_jobs, state_of
from studio.workshop.by_hand import replace_typed, save_stock, typed_grams
from studio.workshop.clock import today
from studio.workshop.shop import current_shop
from tests.proposals.conftest import add_option, make_commission, small_design, yes_to
from tests.proposals.test_freeze import golden


@pytest.fixture
def sold(issue, link):
    return decide(issue, yes_to(issue, "B"), timezone.now(), link=link)


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


def filled(page: str) -> dict[str, str]:
    """What a browser would post, when nothing is changed."""
    fields = re.findall(r'<input[^>]*name="(takes[^"]*)"[^>]*>', page)
    found = {}
    for tag in re.findall(r"<input[^>]*>", page):
        name, value = (re.search(rf' {key}="([^"]*)"', tag) for key in ("name", "value"))
        if name and name[1].startswith("takes") and 'type="checkbox"' not in tag:
            found[name[1]] = unescape(value[1]) if value else ""
    assert found.keys() == set(fields)
    return found


def test_amounts_are_those_of_the_frozen_making(sold, issue):
    making = (making_of(issue, read(issue)) or {})["B"]
    found = amounts_of(sold)
    minutes = {name: n for (kind, name), n in found.items() if kind == "people minutes"}
    labour = (costs_of(issue, read(issue)) or {})["B"]["labour_minutes"]
    assert sum(minutes.values()) == pytest.approx(100 * labour, abs=len(minutes))
    assert minutes.keys() <= {"before", "printing", "making", "after", "site"}
    grams = {name: n for (kind, name), n in found.items() if kind == "grams"}
    assert grams == {row["filament"]: round(100 * row["mass_g"]) for row in making["filaments"]}
    printing = sum(n for (kind, _), n in found.items() if kind == "printer minutes")
    told = sum(sum(v for k, v in row.items() if k != "printer") for row in making["printer_minutes"])
    assert printing == round(100 * told)


def test_golden_making_is_booked_by_hand_figures():
    """180 + 5 and 120 + 4 minutes; 180 + 8 + 5 g and 240 + 7 g; one day on site."""
    found = frozen_amounts(json.loads(golden("making"))["A"])
    assert {key: n for key, n in found.items() if key[0] != "people minutes"} == amounts(
        printer_minutes={"Small bed": 185, "Large bed": 124}, grams={"Tea": 193, "Walnut": 247}, van_days=1
    )


def test_schema_1_tells_what_it_tells_and_a_person_says_the_rest():
    option = json.loads(golden("figures", 1))["options"][0]
    option["estimate"]["lines"] += [
        {"code": "machine.Small bed", "unit": "h", "quantity": "5.25"},
        {"code": "reprints.machine.Small bed", "unit": "h", "quantity": "0.1500"},
        {"code": "machine.energy", "unit": "kWh", "quantity": "3"},
        {"code": "material.machine.Tea", "unit": "kg", "quantity": "1"},
    ]
    assert told_amounts(option) == amounts(
        printer_minutes={"Small bed": 324}, people_minutes={"": 600}, grams={"Tea": 193}, van_days=1
    )
    option["terms"]["delivery"] = "collected"
    assert ("van days", "") not in told_amounts(option)


def test_the_same_amounts_come_back_from_the_form(sold):
    found = amounts_of(sold)
    form = Form(flat(Taken.values(found), "takes"))
    assert parse(Taken, form.document("takes.")).amounts == found


def test_the_page_books_what_is_frozen_once(sold, issue, address, signed_in, typed):
    before = booked(today()).taken
    assert booked_state(issue) is None
    posted = filled(signed_in.get(address).content.decode())
    for _again in range(2):
        assert signed_in.post(address, posted).status_code == 302
    assert booked_state(issue) == "firm"
    (job,) = open_jobs(by_hand=False)
    assert (job.amounts, job.words) == (amounts_of(sold), f"Proposal {issue.proposal.number}, option B")
    after = booked(today()).taken
    assert {key: n - before.get(key, 0) for key, n in after.items() if n != before.get(key, 0)} == job.amounts
    assert "This job is booked: sold." in signed_in.get(address).content.decode()
    proposal = signed_in.get(f"/proposals/for/{issue.proposal.commission.public_id}/").content.decode()
    assert f'Booked in the workshop: <a href="{address}">firm</a>.' in proposal


def test_a_second_person_is_told_that_their_figures_are_not_booked(sold, issue, owner, address, signed_in):
    posted = filled(signed_in.get(address).content.decode())
    book(issue, Taken(van_days=Decimal(3)), owner)
    answer = signed_in.post(address, posted | {"takes.van_days": "2"})
    assert answer.status_code == 409
    assert "It is booked already" in answer.content.decode()
    assert booked(today()).taken == amounts(van_days=3)


def test_what_was_typed_for_it_ends(sold, issue, address, signed_in, typed):
    """Its hours and grams do not count twice; another job and other grams stay."""
    takes = amounts_of(sold)
    posted = filled(signed_in.get(address).content.decode())
    assert posted[f"takes.replaces.{typed}"] == "off"
    signed_in.post(address, posted | {f"takes.replaces.{typed}": "on", "takes.replaces_grams": "on"})
    assert (state_of(typed), state_of("by-hand-bbbbbbbbbbbb")) == ("cancelled", "firm")
    walnut = max(0, 9000 - takes["grams", "Walnut"])
    assert typed_grams() == {name: n for name, n in (("Walnut", walnut), ("Tea", 4000)) if n}
    grams = {"Walnut": walnut / 100, "Tea": 40}
    other = amounts(printer_minutes={"Small bed": 600}, people_minutes={"": 120}, grams=grams)
    assert booked(today()).taken == {key: takes.get(key, 0) + other.get(key, 0) for key in {*takes, *other}}
    assert current_shop(today()).promised


def test_an_issue_of_schema_1_is_booked_as_confirmed(sold, issue, address, signed_in, monkeypatch):
    """Nothing is recomputed: the page begins with what its figures tell."""
    figures = json.loads(golden("figures", 1))
    figures["options"] = [figures["options"][0] | {"letter": "B"}]
    stored = replace(read(issue), figures=figures)
    monkeypatch.setattr("studio.proposals.booking.read", lambda _issue: stored)
    monkeypatch.setattr("studio.proposals.booking.making_of", lambda _issue, _stored: None)
    posted = filled(signed_in.get(address).content.decode())
    assert posted["takes.people.0.hours"] == "10"
    assert [posted[f"takes.printers.{n}.name"] for n in (0, 1)] == ["Small bed", "Large bed"]
    signed_in.post(address, posted | {"takes.printers.0.hours": "5.4", "takes.van_days": "0.5"})
    (job,) = open_jobs(by_hand=False)
    hours = {"printer_minutes": {"Small bed": 324}, "people_minutes": {"": 600}}
    assert job.amounts == amounts(**hours, grams={"Tea": 193}, van_days=Decimal("0.5"))


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ({"takes.van_days": "soon"}, "soon"),
        ({"takes.van_days": "NaN"}, "NaN"),
        ({"takes.van_days": "9" * 5000}, "999"),
        ({"takes.steps": "-1"}, "-1"),
        ({"takes.steps": "7", "takes.state": "firm"}, "changed meanwhile"),
        ({"takes.steps": "x", "takes.state": "lost\x00"}, "“x”"),
        ({"takes.printers.0.hours": "-1"}, "-1"),
        ({"takes.printers.0.name": "Sold one"}, "No printer is called “Sold one” today"),
        ({"takes.replaces.by-hand-cccccccccccc": "on"}, "not booked any more"),
    ],
)
def test_wrong_figures_are_told_and_nothing_is_booked(sold, issue, address, signed_in, typed, change, told):
    posted = filled(signed_in.get(address).content.decode()) | {f"takes.replaces.{typed}": "on"}
    answer = signed_in.post(address, posted | change)
    assert answer.status_code == (409 if told == "changed meanwhile" else 422)
    assert told in unescape(answer.content.decode())
    assert booked_state(issue) is None
    assert state_of(typed) == "firm"


def test_only_what_is_sold_is_booked(issue, address, signed_in):
    assert signed_in.get(address).status_code == 404
    with pytest.raises(Refused, match="approved"):
        book(issue, Taken(), None)


def test_booked_once_in_the_service(sold, issue):
    book(issue, Taken(), None)
    with pytest.raises(Conflict, match="already"):
        book(ProposalIssue.objects.get(), Taken(), None)


def test_what_is_cancelled_takes_nothing_any_more(sold, issue, commission, owner):
    book(issue, Taken(van_days=Decimal(1)), owner)
    cancel(commission, "Ms Adeyemi", "moves away", Decimal(0), owner, timezone.now())
    assert (booked_state(issue), booked(today()).taken) == ("cancelled", {})


def test_what_ends_a_commission_ends_every_booking_of_it(sold, issue, commission, owner):
    """Also of a yes whose variation was approved, but not booked in its place."""
    book(issue, Taken(van_days=Decimal(1)), owner)
    begin_variation(commission, owner, timezone.now())
    varied = issue_proposal(commission, ("A",), owner, timezone.now())
    decide(varied, yes_to(varied), timezone.now())
    cancel(commission, "Ms Adeyemi", "moves away", Decimal(0), owner, timezone.now())
    assert (booked_state(issue), booked(today()).taken) == ("cancelled", {})


def test_a_page_from_before_the_cancellation_books_nothing(
    sold, issue, commission, owner, address, signed_in
):
    posted = filled(signed_in.get(address).content.decode())
    book(issue, Taken(van_days=Decimal(1)), owner)
    cancel(commission, "Ms Adeyemi", "moves away", Decimal(0), owner, timezone.now())
    answer = signed_in.post(address, posted)
    assert answer.status_code == 422
    assert "It was cancelled" in answer.content.decode()
    assert "<form method" not in signed_in.get(address).content.decode().split("<main")[1]


def test_hours_on_a_printer_that_is_gone_move_to_another(sold, issue, owner, address, signed_in):
    """Until then no day can be named for anything else."""
    other = add_option(make_commission(issue.client), "A", small_design())
    book(issue, parse(Taken, {"printers": [{"name": "Sold one", "hours": "5"}]}), owner)
    with pytest.raises(Refused, match="Sold one"):
        estimate_option(other, today())
    posted = filled(signed_in.get(address).content.decode()) | {"takes.state": "firm"}
    assert signed_in.post(address, posted).status_code == 422
    moved = {"takes.printers.0.hours": "0", "takes.printers.1.hours": "5"}
    assert signed_in.post(address, posted | moved).status_code == 302
    assert booked(today()).taken == amounts(printer_minutes={"Small bed": 300})
    assert estimate_option(other, today())


def test_a_job_that_is_made_takes_nothing_and_can_be_taken_up_again(sold, issue, owner, address, signed_in):
    book(issue, Taken(van_days=Decimal(1)), owner)
    for state, taken in (("done", {}), ("released", amounts(van_days=1))):
        posted = filled(signed_in.get(address).content.decode())
        assert signed_in.post(address, posted | {"takes.state": state}).status_code == 302
        assert (booked_state(issue), booked(today()).taken) == (state, taken)


def test_what_is_handed_over_takes_nothing(sold, issue, commission, owner):
    book(issue, Taken(van_days=Decimal(1)), owner)
    move("another-job", "another-job", "firm", amounts(van_days=2))
    form = about_form(Commission.objects.get(pk=commission.pk))
    save_about(Form({**form.values, "stage": "handed over"}), commission, owner)
    assert (booked_state(issue), booked(today()).taken) == ("done", amounts(van_days=2))


def test_what_is_handed_over_is_not_booked_any_more(sold, issue, commission, owner, signed_in):
    page = f"/proposals/for/{commission.public_id}/"
    assert "Book it in the workshop" in signed_in.get(page).content.decode()
    form = about_form(Commission.objects.get(pk=commission.pk))
    save_about(Form({**form.values, "stage": "handed over"}), commission, owner)
    assert "Book it in the workshop" not in signed_in.get(page).content.decode()
    with pytest.raises(Refused, match="handed over"):
        book(ProposalIssue.objects.get(), Taken(van_days=Decimal(1)), owner)
    assert booked(today()).taken == {}


def test_only_the_newest_yes_asks_to_be_booked(sold, issue, commission, owner, signed_in):
    begin_variation(commission, owner, timezone.now())
    varied = issue_proposal(commission, ("A",), owner, timezone.now())
    decide(varied, yes_to(varied), timezone.now())
    page = signed_in.get(f"/proposals/for/{commission.public_id}/").content.decode()
    assert f"/issues/{varied.public_id}/book/" in page
    assert f"/issues/{issue.public_id}/book/" not in page


def test_a_page_from_before_another_change_changes_nothing(sold, issue, owner, address, signed_in):
    book(issue, Taken(van_days=Decimal(1)), owner)
    posted = filled(signed_in.get(address).content.decode()) | {"takes.state": "firm"}
    assert signed_in.post(address, posted | {"takes.van_days": "2"}).status_code == 302
    answer = signed_in.post(address, posted | {"takes.van_days": "3"})
    assert answer.status_code == 409
    assert "changed meanwhile" in answer.content.decode()
    assert booked(today()).taken == amounts(van_days=2)


def test_what_is_released_is_booked_as_released(sold, issue, commission, owner):
    book(issue, Taken(van_days=Decimal(1)), owner)
    release(commission, today(), owner, timezone.now())
    assert (booked_state(issue), booked(today()).taken) == ("released", amounts(van_days=1))


def test_what_is_booked_after_its_release_is_in_the_workshop(sold, issue, commission, owner):
    release(commission, today(), owner, timezone.now())
    book(issue, Taken(van_days=Decimal(1)), owner)
    assert (booked_state(issue), booked(today()).taken) == ("released", amounts(van_days=1))


def test_what_was_cancelled_before_is_not_booked(sold, issue, commission, owner):
    cancel(commission, "Ms Adeyemi", "moves away", Decimal(0), owner, timezone.now())
    with pytest.raises(Refused, match="cancelled"):
        book(ProposalIssue.objects.get(), Taken(), owner)


def test_a_variation_is_booked_in_place_of_what_was_sold(sold, issue, commission, owner):
    book(issue, Taken(van_days=Decimal(1)), owner)
    begin_variation(commission, owner, timezone.now())
    varied = issue_proposal(commission, ("A",), owner, timezone.now())
    decide(varied, yes_to(varied), timezone.now(), link=varied.links.get())
    book(varied, Taken(van_days=Decimal(2)), owner)
    assert (booked_state(issue), booked_state(varied)) == ("cancelled", "firm")
    assert booked(today()).taken == amounts(van_days=2)
    assert len(open_jobs(by_hand=False)) == 1


def test_a_variation_is_not_made_after_what_it_replaces(sold, issue, commission, owner):
    """What is booked for a commission makes its own options no later, and others' as late as before."""
    alone = estimate_option(Option.objects.first(), today()).dates
    taken = parse(
        Taken, {"printers": [{"name": "Small bed", "hours": 400}, {"name": "Large bed", "hours": 400}]}
    )
    book(issue, taken, owner)
    other = add_option(make_commission(commission.client), "A", small_design())
    assert estimate_option(other, today()).dates.held_on > alone.held_on
    assert estimate_option(Option.objects.first(), today()).dates == alone


def test_typed_grams_never_become_less_than_nothing(typed):
    replace_typed([], {"Walnut": 10**6, "Indigo": 5}, None)
    assert typed_grams() == {"Tea": 4000}
