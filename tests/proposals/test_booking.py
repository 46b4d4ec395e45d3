"""What is offered might come, and a yes takes its place in the workshop: once, in its own transaction, with
what was frozen, until something ends it."""

import json
from dataclasses import replace
from datetime import timedelta
from decimal import Decimal

import pytest
from django.db import IntegrityError
from django.utils import timezone

from studio.commissions.enquiry.about import about_form, save_about
from studio.commissions.estimating import estimate_option, jobs_of
from studio.commissions.models import Commission, Entry, Option
from studio.document import parse
from studio.forms import Form
from studio.making.booked import amounts
from studio.problem import Conflict, Refused
from studio.proposals import booking
from studio.proposals.booking import amounts_of, booked_job, booked_state, rebook, source_of
from studio.proposals.deciding import decide
from studio.proposals.erasing import ERASED, erase_client
from studio.proposals.issuing import issue_proposal, withdraw_issue
from studio.proposals.models import Decision
from studio.proposals.selling import begin_variation, cancel, end_variation, release
from studio.proposals.stored import Damaged, costs_of, making_of, read
from studio.proposals.takes import Taken, frozen_amounts, most_demanding, told_amounts
from studio.workshop.bookings import booked, job_of, move, open_jobs, state_of
from studio.workshop.clock import today
from studio.workshop.models import BookingStep
from tests.proposals.booked import stocked, varied
from tests.proposals.conftest import add_option, make_commission, small_design, yes_to
from tests.proposals.test_freeze import golden


@pytest.fixture(autouse=True)
def _stocked(db):
    stocked()


@pytest.fixture
def sold(issue, link):
    return decide(issue, yes_to(issue, "B"), timezone.now(), link=link)


def making(issue):
    return making_of(issue, read(issue)) or {}


def declined(issue):
    return replace(yes_to(issue), answer="declined", letter="", ready_on=None)


def handed_over(commission, owner, stage="handed over"):
    form = about_form(Commission.objects.get(pk=commission.pk))
    save_about(Form({**form.values, "stage": stage}), commission, owner)


@pytest.mark.parametrize("released", [False, True])
def test_handed_over_by_mistake_and_set_back_is_booked_as_before(sold, issue, commission, owner, released):
    """But for what was made before: a person said so."""
    own = f"{jobs_of(commission)}frame"
    move(own, own, "firm", amounts(grams={"Tea": 5}))
    move(own, f"{own}-made", "done")
    if released:
        release(commission, today(), owner, timezone.now())
    before, state = booked(today()).taken, booked_state(issue)
    assert (before, state) == (amounts_of(sold), "released" if released else "firm")
    for _twice in range(2):
        handed_over(commission, owner)
        assert (booked(today()).taken, booked_state(issue)) == ({}, "done")
        handed_over(commission, owner, "making" if released else "approved")
        assert (booked(today()).taken, booked_state(issue), state_of(own)) == (before, state, "done")


def test_amounts_are_those_of_the_frozen_making(sold, issue):
    found = amounts_of(sold)
    minutes = {name: n for (kind, name), n in found.items() if kind == "people minutes"}
    labour = (costs_of(issue, read(issue)) or {})["B"]["labour_minutes"]
    assert sum(minutes.values()) == pytest.approx(100 * labour, abs=len(minutes))
    assert minutes.keys() <= {"before", "printing", "making", "after", "site"}
    grams = {name: n for (kind, name), n in found.items() if kind == "grams"}
    assert grams == {row["filament"]: round(100 * row["mass_g"]) for row in making(issue)["B"]["filaments"]}
    printing = sum(n for (kind, _), n in found.items() if kind == "printer minutes")
    rows = making(issue)["B"]["printer_minutes"]
    assert printing == round(100 * sum(sum(v for k, v in row.items() if k != "printer") for row in rows))


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


@pytest.mark.parametrize(
    ("printing", "people", "most"),
    [
        ((60, 90), (300, 20), "B"),
        ((90, 60), (20, 300), "A"),
        ((60, 60), (20, 30), "B"),
        ((1, 1), (1, 1), "A"),
    ],
)
def test_the_most_demanding_option(printing, people, most):
    """Most of the printers, then most of the people."""
    options = {
        letter: {
            "printer_minutes": [
                {"printer": "Small bed", "print_minutes": minutes, "reprint_minutes": 0, "change_minutes": 0}
            ],
            "labour": [{"stage": "making", "minutes": str(work)}],
            "filaments": [],
            "van_days": 0,
        }
        for letter, minutes, work in zip("AB", printing, people, strict=True)
    }
    assert most_demanding(options)[0] == most


def test_what_is_issued_might_come(issue, commission):
    """With the amounts of its most demanding option; it takes nothing."""
    job = job_of(source_of(issue))
    offered = {letter: frozen_amounts(option) for letter, option in making(issue).items()}
    assert job is not None
    assert (job.state, job.amounts) == ("offered", offered[most_demanding(making(issue))[0]])
    assert job.words == f"Niche panel, proposal {issue.proposal.number}"
    assert (booked(today()).taken, booked(today()).might_come) == ({}, job.amounts)
    assert booked_state(issue) is None


def test_a_yes_is_booked_in_its_transaction(sold, issue):
    job = booked_job(issue)
    assert job is not None
    assert (job.state, job.amounts, job.steps) == ("firm", amounts_of(sold), 2)
    assert (booked(today()).taken, booked(today()).might_come) == (amounts_of(sold), {})
    with pytest.raises(Conflict):  # said again
        decide(issue, yes_to(issue, "B"), timezone.now())
    assert booked_job(issue) == job


def test_without_its_booking_there_is_no_yes(issue, link, monkeypatch):
    def fail(*_, **__):
        raise IntegrityError("the disk is full")

    monkeypatch.setattr(booking, "move", fail)
    with pytest.raises(IntegrityError):
        decide(issue, yes_to(issue), timezone.now(), link=link)
    assert not Decision.objects.exists()
    assert state_of(source_of(issue)) == "offered"


def test_a_yes_to_what_was_issued_before_offers_were_kept(issue, monkeypatch):
    """Older programs wrote no offer; its making tells all the same."""
    monkeypatch.setattr(booking, "source_of", lambda _issue: "older-job")
    decide(issue, yes_to(issue), timezone.now())
    assert [(step.key, step.state) for step in BookingStep.objects.filter(booking__source="older-job")] == [
        ("older-job-approved", "firm")
    ]


@pytest.mark.parametrize("told", [None, Damaged("a stored document has changed")])
def test_a_yes_stands_where_nothing_tells_what_it_takes(issue, link, monkeypatch, told, signed_in):
    """Issues of schema 1 tell too little, damaged ones nothing: a person books them."""

    def making_of(_issue, _stored):
        if told:
            raise told
        return told

    monkeypatch.setattr(booking, "making_of", making_of)
    assert decide(issue, yes_to(issue), timezone.now(), link=link).letter == "A"
    assert (booked_state(issue), booked(today()).taken) == (None, {})
    page = signed_in.get(f"/proposals/for/{issue.proposal.commission.public_id}/").content.decode()
    assert "Book it in the workshop" in page


def test_a_printer_that_was_sold_meanwhile_is_booked_under_its_name(issue, commission, monkeypatch):
    """The yes stands. Nobody has said which printer is to print it: until somebody does, its hours wait for
    each of them, and dates of others are made all the same."""
    takes = amounts(printer_minutes={"Sold one": 60 * 200}, people_minutes={"making": 60})
    monkeypatch.setattr(booking, "frozen_amounts", lambda _making: takes)
    other = add_option(make_commission(commission.client), "A", small_design())
    before = estimate_option(other, today())
    decide(issue, yes_to(issue), timezone.now())
    job = booked_job(issue)
    assert job is not None
    assert job.amounts == takes
    after = estimate_option(other, today())
    assert after.dates.held_on > before.dates.held_on
    assert after.price == before.price


def test_grams_of_a_filament_that_is_gone_are_in_nobodys_way(issue, commission, monkeypatch):
    takes = amounts(grams={"Sold out": 90_000}, people_minutes={"making": 1})
    monkeypatch.setattr(booking, "frozen_amounts", lambda _making: takes)
    other = add_option(make_commission(commission.client), "A", small_design())
    before = estimate_option(other, today())
    decide(issue, yes_to(issue), timezone.now())
    assert booked(today()).taken == takes
    assert estimate_option(other, today()).plan.filaments == before.plan.filaments


def test_a_no_ends_the_offer(issue, link):
    decide(issue, declined(issue), timezone.now(), link=link)
    assert state_of(source_of(issue)) == "cancelled"
    assert booked(today()).might_come == {}


def test_a_later_issue_takes_the_place_of_the_one_before(issue, commission, owner):
    later = issue_proposal(commission, ("A",), owner, timezone.now())
    assert [state_of(source_of(each)) for each in (issue, later)] == ["cancelled", "offered"]
    assert booked(today()).might_come == frozen_amounts(making(later)["A"])


def test_what_is_withdrawn_does_not_come(issue, owner):
    withdraw_issue(issue, owner, timezone.now())
    assert (state_of(source_of(issue)), booked(today()).might_come) == ("cancelled", {})
    assert not withdraw_issue(issue, owner, timezone.now())


def test_a_yes_that_is_written_down_late_is_booked(issue, owner):
    """The time of the offer is over, but the yes was said in time: an offer is not ended by a day."""
    said_on = today()
    later = timezone.now() + timedelta(days=(issue.valid_until - said_on).days + 3)
    decide(issue, yes_to(issue, said_on=said_on, how="telephone"), later, by=owner)
    assert booked_state(issue) == "firm"


def test_what_is_cancelled_takes_nothing_any_more(sold, issue, commission, owner):
    cancel(commission, "Ms Adeyemi", "moves away", Decimal(0), owner, timezone.now())
    assert (booked_state(issue), booked(today()).taken) == ("cancelled", {})


def test_a_variation_that_nobody_has_answered_might_come(sold, issue, commission, owner):
    begin_variation(commission, owner, timezone.now())
    change = issue_proposal(commission, ("A",), owner, timezone.now())
    assert (booked_state(issue), state_of(source_of(change))) == ("firm", "offered")
    end_variation(commission, owner, timezone.now())
    assert (booked_state(issue), state_of(source_of(change))) == ("firm", "cancelled")


def test_the_yes_to_a_variation_takes_the_place_of_the_one_before(sold, issue, commission, owner):
    change, yes = varied(commission, owner)
    assert (booked_state(issue), booked_state(change)) == ("cancelled", "firm")
    assert booked(today()).taken == amounts_of(yes)
    assert len(open_jobs(by_hand=False)) == 1


def test_the_no_to_a_variation_leaves_what_is_sold(sold, issue, commission, owner):
    begin_variation(commission, owner, timezone.now())
    change = issue_proposal(commission, ("A",), owner, timezone.now())
    decide(change, declined(change), timezone.now())
    assert booked(today()).taken == amounts_of(sold)


def test_a_variation_of_what_is_in_the_workshop_is_firm_again(sold, issue, commission, owner):
    """What is released is the one before: the change waits for its own release."""
    release(commission, today(), owner, timezone.now())
    change, yes = varied(commission, owner)
    assert (booked_state(issue), booked_state(change)) == ("cancelled", "firm")
    assert booked(today()).taken == amounts_of(yes)


def test_what_ends_a_commission_ends_every_booking_of_it(sold, issue, commission, owner):
    varied(commission, owner)
    begin_variation(commission, owner, timezone.now())
    issue_proposal(commission, ("B",), owner, timezone.now())
    cancel(commission, "Ms Adeyemi", "moves away", Decimal(0), owner, timezone.now())
    assert (booked(today()).taken, booked(today()).might_come) == ({}, {})
    assert open_jobs(by_hand=False) == []


def test_what_is_released_is_in_the_workshop(sold, issue, commission, owner):
    release(commission, today(), owner, timezone.now())
    assert (booked_state(issue), booked(today()).taken) == ("released", amounts_of(sold))


def test_what_is_handed_over_takes_nothing(sold, issue, commission, owner):
    move("another-job", "another-job", "firm", amounts(van_days=2))
    handed_over(commission, owner)
    assert (booked_state(issue), booked(today()).taken) == ("done", amounts(van_days=2))


def test_what_is_booked_for_a_commission_makes_its_own_options_no_later(sold, issue, commission, owner):
    """And others' as late as before it was varied."""
    alone = estimate_option(Option.objects.first(), today()).dates
    hours = tuple({"name": name, "hours": "400"} for name in ("Small bed", "Large bed"))
    rebook(issue, parse(Taken, {"printers": hours, "steps": 2}), owner)
    other = add_option(make_commission(commission.client), "A", small_design())
    assert estimate_option(other, today()).dates.held_on > alone.held_on
    assert estimate_option(Option.objects.first(), today()).dates == alone


def test_two_yeses_and_the_third_date(issue, commission, ms_adeyemi, owner):
    """What the next client is told knows both."""
    other = make_commission(ms_adeyemi)
    add_option(other, "A", small_design())
    second = issue_proposal(other, ("A",), owner, timezone.now())
    third = add_option(make_commission(ms_adeyemi), "A", small_design())
    days = [estimate_option(third, today()).dates.held_working_days]
    for each in (issue, second):
        decide(each, yes_to(each), timezone.now())
        days.append(estimate_option(third, today()).dates.held_working_days)
    assert days == sorted(set(days))


def test_an_erased_clients_jobs_lose_their_names(sold, issue, commission, ms_adeyemi, owner):
    """What is sold is made: its amounts stay. What is offered can get no yes any more."""
    other = make_commission(ms_adeyemi)
    add_option(other, "A", small_design())
    offered = issue_proposal(other, ("A",), owner, timezone.now())
    erase_client(ms_adeyemi, owner, timezone.now())
    job = booked_job(issue)
    assert job is not None
    assert (job.words, job.state, job.amounts) == ("", "firm", amounts_of(sold))
    assert state_of(source_of(offered)) == "cancelled"
    offered.refresh_from_db()
    issue.refresh_from_db()
    assert (offered.state, issue.state) == ("withdrawn", "issued")
    assert ERASED not in [job.words for job in open_jobs(by_hand=False)]
    with pytest.raises(Conflict, match="withdrawn"):
        decide(offered, yes_to(offered), timezone.now())
    cancel(commission, "the heirs", "not wanted", Decimal(0), owner, timezone.now())
    assert booked(today()).taken == {}


def test_of_a_booking_nothing_is_written_among_what_was_said(sold, issue):
    assert not [entry.text for entry in Entry.objects.all() if "book" in (entry.text or "").lower()]


def test_nothing_else_is_booked_for_what_is_not_sold(issue):
    with pytest.raises(Refused, match="approved"):
        booking.book(issue, Taken(), None)
