"""From the yes to the release: the deposit comes, the colours are approved, a final day follows, and the
studio says what the client hears of it."""

from datetime import timedelta
from html import unescape

import pytest
from django.db import IntegrityError, transaction
from django.utils import timezone

from studio.commissions.models import Entry
from studio.jobs.facts import Approval, approve_colours, facts_of
from studio.jobs.models import ColoursApproved, Payment
from studio.jobs.paying import counter, paid_of, receive
from studio.letters.models import Letter
from studio.making.working_days import working_days_of
from studio.problem import Conflict, Refused
from studio.proposals.booking import booked_state
from studio.proposals.erasing import erase_client
from studio.proposals.issuing import issue_proposal
from studio.proposals.job_letters import about_jobs, write_about
from studio.proposals.models import Appointment, Decision, Release
from studio.proposals.selling import begin_variation, release
from studio.proposals.stored import read
from studio.voice import Voice
from studio.workshop.bookings import booked
from studio.workshop.clock import today
from studio.workshop.shop import readable_calendar
from tests.jobs.conftest import approve, typed
from tests.two_tabs import forms_of

DAY = Voice("en-GB", "metric", "GBP").day


@pytest.fixture
def address(commission, yes):
    return f"/jobs/for/{commission.public_id}"


def text(page) -> str:
    return " ".join(unescape(page.content.decode()).split())


def form_of(page, holds: str, **changed: str) -> dict[str, str]:
    """What the form of the page that has a field would post, changed by the last part of fields' names."""
    (form,) = [each for each in forms_of(page) if holds in each]
    start = holds.partition(".")[0]
    return form | {f"{start}.{name}": value for name, value in changed.items()}


def pay(yes, amount, on, owner):
    return receive(yes, typed(f"{amount:.2f}", on=on), owner, timezone.now())


@pytest.fixture
def paid(yes, owner):
    return pay(yes, paid_of(yes).stages[0].stage.gross_minor / 100, today(), owner)


@pytest.fixture
def approved(signed_in, address, yes):
    form = form_of(signed_in.get(f"{address}/start/"), "colours.who", who="Zoë <b>")
    assert signed_in.post(f"{address}/colours/", form).status_code == 302
    return ColoursApproved.objects.get()


def test_the_deposit_has_cleared_on_the_day_that_covers_it(yes, owner, issue):
    whole = paid_of(yes).stages[0].stage.gross_minor / 100
    issued = timezone.localdate(issue.issued_at)
    first = pay(yes, whole - 5, issued, owner)
    assert (facts_of(yes).cleared_on, facts_of(yes).open_minor) == (None, 500)
    pay(yes, 5, issued, owner)
    assert facts_of(yes).cleared_on == issued
    counter(first, owner, timezone.now())  # the bank sent it back
    facts = facts_of(yes)
    assert (facts.cleared_on, facts.open_minor) == (None, round(whole * 100) - 500)
    assert facts.missing == "the deposit has not cleared and the colours are not approved"


def test_a_final_day_follows_from_both_and_the_client_hears_what_the_studio_says(
    signed_in, address, yes, issue, paid, approved, commission
):
    """Both came earlier than it was reckoned with, so the final day is earlier than the agreed one."""
    page = signed_in.get(f"{address}/start/")
    assert f"where {DAY(yes.agreed_on)} was agreed. Release the work" in text(page)
    facts, works = facts_of(yes), working_days_of(readable_calendar()[0])
    assert works.between(works.first(today()), facts.final_on) == yes.agreed_days
    assert facts.final_on < yes.agreed_on
    assert all(DAY(day) in text(page) for day in (facts.final_on, yes.agreed_on))
    assert not Letter.objects.exists()
    silent = signed_in.post(f"{address}/release/", form_of(page, "release.words", heard=""))
    assert silent.status_code == 422
    assert "Choose what the client hears" in text(silent)
    other = form_of(page, "release.words", heard="letter", words="It is ready soon. <b>")
    wrong = signed_in.post(f"{address}/release/", other)
    assert (wrong.status_code, Release.objects.count()) == (422, 0)
    assert f"The letter does not name {DAY(facts.final_on)}" in text(wrong)
    assert "It is ready soon. &lt;b&gt;</textarea>" in " ".join(wrong.content.decode().split())
    right = form_of(page, "release.words", heard="letter")
    assert signed_in.post(f"{address}/release/", right).status_code == 302
    assert Decision.objects.get().release.final_on == facts.final_on
    commission.refresh_from_db()
    assert (commission.due_on, commission.stage) == (facts.final_on, "making")
    letter = Letter.objects.get()
    assert letter.receiver == issue.client.email
    assert f"is ready is {DAY(facts.final_on)} instead of {DAY(yes.agreed_on)}" in letter.body
    last = Entry.objects.order_by("sequence").last().text
    assert last.endswith("a letter about it was written to the client")
    assert signed_in.post(f"{address}/release/", right).status_code == 409  # the other tab
    assert Letter.objects.count() == 1


def test_what_changed_since_the_page_was_made_is_shown_before_a_release(
    signed_in, address, yes, owner, paid, approved
):
    form = form_of(signed_in.get(f"{address}/start/"), "release.words", heard="nothing")
    counter(paid, owner, timezone.now())
    stale = signed_in.post(f"{address}/release/", form)
    assert stale.status_code == 409
    assert "not yet: £" in text(stale)
    again = form_of(stale, "release.words", heard="nothing")
    assert signed_in.post(f"{address}/release/", again).status_code == 422
    assert (
        signed_in.post(f"{address}/release/", again | {"release.anyway": "on"}).status_code == 302
    )  # but so
    assert "The work is released, but the deposit has not cleared" in text(signed_in.get(f"{address}/start/"))
    assert not Letter.objects.exists()


@pytest.mark.parametrize(
    ("change", "status"),
    [
        ({"approved_on": "2031-01-01"}, 422), ({"approved_on": "soon"}, 422), ({"who": " "}, 422),
        ({"how": "by pigeon"}, 422), ({"sold": "another"}, 409),
    ],
)  # fmt: skip
def test_an_approval_that_cannot_be(signed_in, address, yes, change, status):
    form = form_of(signed_in.get(f"{address}/start/"), "colours.who", **{"who": "Zoë <b>", **change})
    answer = signed_in.post(f"{address}/colours/", form)
    assert (answer.status_code, ColoursApproved.objects.count()) == (status, 0)
    assert change.get("who", "Zoë &lt;b&gt;") in answer.content.decode()


def test_an_approval_is_written_once_taken_back_and_kept(
    signed_in, address, yes, approved, ms_adeyemi, owner
):
    form = {
        "colours.sold": yes.issue.public_id, "colours.approved_on": today().isoformat(), "colours.who": "Z",
        "colours.how": "studio",
    }  # fmt: skip
    assert signed_in.post(f"{address}/colours/", form).status_code == 409
    back = f"/jobs/colours/{approved.public_id}/back/"
    assert [signed_in.post(back).status_code for _ in range(2)] == [302, 302]
    assert (ColoursApproved.objects.count(), facts_of(yes).colours) == (2, None)
    assert signed_in.post(f"{address}/colours/", form).status_code == 302
    for act in (
        lambda: ColoursApproved.objects.update(approved_on="2020-01-01"),
        lambda: ColoursApproved.objects.all()._raw_delete("default"),
    ):
        with pytest.raises(IntegrityError), transaction.atomic():
            act()
    erase_client(ms_adeyemi, owner, timezone.now())
    assert set(ColoursApproved.objects.values_list("who", flat=True)) == {None}
    assert "a person since erased" in text(signed_in.get(f"{address}/start/"))


def test_no_final_day_is_counted_from_before_the_yes(yes, paid, approved, owner, commission):
    """What a client paid and approved before saying yes does not bring a day forward."""
    counted = facts_of(yes).final_on
    later = working_days_of(readable_calendar()[0]).first(today() + timedelta(days=10))
    yes.said_on = later  # as a variation's yes would say
    assert facts_of(yes).final_on > counted


def test_work_is_not_released_behind_a_day_that_was_agreed_for_the_hanging(
    signed_in, address, yes, paid, approved, commission, owner
):
    day = facts_of(yes).final_on
    Appointment.objects.create(
        decision=yes, what="hanging", sequence=1, day=day - timedelta(days=1), whom="Zoë", at=timezone.now()
    )
    form = form_of(signed_in.get(f"{address}/start/"), "release.final_on", heard="nothing")
    answer = signed_in.post(f"{address}/release/", form)
    assert answer.status_code == 422
    assert "This is agreed for before that day: Hanging on " in text(answer)
    assert not Release.objects.exists()


def test_the_same_words_are_one_letter_and_other_words_another(yes, owner):
    stored = read(yes.issue)
    for words in ("At nine.", "At nine.", "At ten."):
        write_about(yes, stored, "hanging 1", words, owner, timezone.now())
    write_about(yes, stored, "hanging 10", "At ten.", owner, timezone.now())
    assert [letter.body for letter in about_jobs([yes.issue], "hanging 1").order_by("pk")] == [
        "At nine.",
        "At ten.",
    ]
    assert about_jobs([yes.issue]).count() == 3


def test_what_waited_while_another_option_was_approved_is_written_of_none(yes, commission, owner):
    """Its stages and samples are others: a payment is looked at again, an approval refused."""
    begin_variation(commission, owner, timezone.now())
    approve(issue_proposal(commission, ("B",), owner, timezone.now()), "B")
    with pytest.raises(Refused, match="another option was approved meanwhile"):
        receive(yes, typed("5"), owner, timezone.now())
    given = Approval(sold=yes.issue.public_id, approved_on=today(), who="Zoë", how="samples")
    with pytest.raises(Conflict, match="another option is sold by now"):
        approve_colours(yes, given, owner, timezone.now())
    assert not Payment.objects.exists()
    assert not ColoursApproved.objects.exists()


def test_work_whose_deposit_bounced_is_stopped_and_goes_on(
    signed_in, address, yes, paid, commission, owner, approved
):
    """The board and the page say what stands; its place in the workshop stays."""
    release(commission, today(), owner, timezone.now())
    taken, title = booked(today()).taken, commission.title
    assert booked_state(yes.issue) == "released"
    assert "the work goes on" not in text(signed_in.get("/"))
    counter(paid, owner, timezone.now())
    for stops, tells, board, state in (
        ("yes", "It goes on until you stop it", "the work goes on until you stop it", "firm"),
        ("no", "It stands still", "the work stands still", "released"),
    ):
        assert tells in text(signed_in.get(f"{address}/start/"))
        page = text(signed_in.get("/"))
        assert f"{title}</a> is released, and its deposit is not there any more: {board}." in page
        form = form_of(signed_in.get(f"{address}/start/"), "stops")
        assert form["stops"] == stops
        for _twice in range(2):
            assert signed_in.post(f"{address}/standstill/", form).status_code == 302
            assert (booked_state(yes.issue), booked(today()).taken) == (state, taken)
    assert Entry.objects.filter(kind="event", text__contains="the work ").count() == 2
    pay(yes, paid.amount, today(), owner)
    assert "is not there any more" not in text(signed_in.get("/"))


def test_what_is_not_under_way_does_not_stand_still(signed_in, address, yes):
    assert signed_in.post(f"{address}/standstill/", {"stops": "yes"}).status_code == 409
    assert booked_state(yes.issue) == "firm"
