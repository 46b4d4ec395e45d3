"""After the yes: a day for the hanging is agreed, moved, called off; refused on a day off; booked."""

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal
from html import unescape

import pytest
from django.db import IntegrityError, transaction
from django.utils import timezone

from studio.commissions.estimating import estimate_option
from studio.commissions.models import Entry
from studio.letters.models import Letter
from studio.making.working_days import working_days_of
from studio.problem import Conflict, Refused
from studio.proposals.appointments import Agreed, agree, call_off
from studio.proposals.booking import amounts_of, source_of
from studio.proposals.days import days_named, days_shown, promises_of
from studio.proposals.deciding import decide
from studio.proposals.erasing import erase_client
from studio.proposals.issuing import issue_proposal
from studio.proposals.models import Appointment
from studio.proposals.newest import newest_yes
from studio.proposals.selling import cancel, release
from studio.proposals.stored import read
from studio.workshop.bookings import booked, job_of
from studio.workshop.books import the_studio, voice_of
from studio.workshop.clock import today
from studio.workshop.shop import readable_calendar
from tests.proposals.booked import varied
from tests.proposals.conftest import add_option, make_commission, small_design, yes_to
from tests.two_tabs import forms_of

VAN = "van days"


@pytest.fixture
def yes(issue):
    return decide(issue, yes_to(issue), timezone.now())


@pytest.fixture
def page(commission, yes):
    return f"/proposals/for/{commission.public_id}/appointments/"


def text(answer) -> str:
    return " ".join(unescape(answer.content.decode()).split())


def form_of(answer, field: str, **changed: str) -> dict[str, str]:
    """What the form of the page that has a field would post, with some of them changed."""
    form = next(each for each in forms_of(answer) if field in each)
    return form | {f"visit.{name}": value for name, value in changed.items()}


def after(day, number: int):
    """So many working days after a day."""
    works = working_days_of(readable_calendar()[0])
    return [each for each, _ in zip(works.since(day + timedelta(days=1)), range(number), strict=False)][-1]


def agree_on(signed_in, page, day, **more):
    typed = {"day": day.isoformat(), "whom": "Zoë <b>", **more}
    return signed_in.post(f"{page}agree/", form_of(signed_in.get(page), "visit.day", **typed))


def van(issue) -> dict[str, int]:
    return {name: n for (kind, name), n in booked(today()).taken.items() if kind == VAN}


def test_a_hanging_is_agreed_moved_written_about_and_called_off(signed_in, page, yes, issue, commission):
    first, second = after(yes.agreed_on, 2), after(yes.agreed_on, 4)
    whole = amounts_of(yes).get((VAN, ""), 0)
    assert whole > 0
    assert agree_on(signed_in, page, first, from_time="09:30", note="Ring at no. 4").status_code == 302
    assert van(issue) == {first.isoformat(): whole}  # no longer on a day that nobody knows
    voice = voice_of(the_studio())
    words = f"Hanging on {voice.day(first)} from 09:30"
    client_page = f"/p/{issue.links.get().token}/"
    for address in (page, client_page, "/", f"/proposals/for/{commission.public_id}/"):
        assert words in text(signed_in.get(address)), address
    assert "Ring at no. 4" not in text(signed_in.get(client_page))
    assert not Letter.objects.exists()  # nothing goes by itself

    stale = form_of(signed_in.get(page), "visit.day", day=first.isoformat(), whom="Ms Adeyemi")
    assert agree_on(signed_in, page, second).status_code == 302
    assert signed_in.post(f"{page}agree/", stale).status_code == 409
    assert van(issue) == {second.isoformat(): whole}
    assert words not in text(signed_in.get(client_page))

    letter = form_of(signed_in.get(page), "words")
    assert f"as agreed: Hanging on {voice.day(second)}." in letter["words"]
    wrong = signed_in.post(f"{page}letter/", {**letter, "words": "We come. <b>"})
    assert (wrong.status_code, Letter.objects.count()) == (422, 0)
    assert "We come. &lt;b&gt;</textarea>" in wrong.content.decode()
    assert [signed_in.post(f"{page}letter/", letter).status_code for _ in range(2)] == [302, 302]
    assert Letter.objects.get().body == letter["words"]

    off = form_of(signed_in.get(page), "why") | {"why": "Still being painted"}
    assert [signed_in.post(f"{page}off/", off).status_code for _ in range(2)] == [302, 409]
    assert van(issue) == {"": whole}
    assert "We come to you" not in text(signed_in.get(client_page))
    assert "Still being painted" in text(signed_in.get(page))
    events = Entry.objects.filter(kind="event").values_list("text", flat=True)
    for told in (f"agreed for {first}", f"moved to {second}", f"the hanging of {second} is called off"):
        assert any(line.endswith(told) for line in events), told


@pytest.mark.parametrize("why", ["over", "day off", "before it is ready", "far", "nobody", "no day"])
def test_a_day_that_will_not_do_is_refused_and_some_unless_they_are_meant(signed_in, page, yes, why):
    sunday = yes.agreed_on + timedelta(days=14 - yes.agreed_on.isoweekday() % 7)
    day, words, meant = {
        "over": (today() - timedelta(days=1), "is over", False),
        "day off": (sunday, "The workshop is closed on", True),
        "before it is ready": (after(today(), 1), "It is ready by", True),
        "far": (today() + timedelta(days=3000), "more than five years away", False),
        "nobody": (after(yes.agreed_on, 2), "whom", False),
        "no day": (None, "visit-day", False),
    }[why]
    typed = {"whom": "" if why == "nobody" else "Zoë <b>", "note": "Ring <i>"}
    form = form_of(signed_in.get(page), "visit.day", day=day.isoformat() if day else "", **typed)
    answer = signed_in.post(f"{page}agree/", form)
    assert (answer.status_code, Appointment.objects.count()) == (422, 0)
    assert words in text(answer)
    assert "Ring &lt;i&gt;</textarea>" in answer.content.decode()
    answer = signed_in.post(f"{page}agree/", form | {"visit.anyway": "on"})
    assert answer.status_code == (302 if meant else 422)


def test_what_was_agreed_is_kept_and_ends_with_what_is_sold(
    signed_in, page, yes, issue, commission, owner, ms_adeyemi
):
    assert agree_on(signed_in, page, after(yes.agreed_on, 2), what="delivery").status_code == 302
    assert job_of(f"{source_of(issue)}-delivery-1").state == "firm"
    for act in (
        lambda: Appointment.objects.update(day="2031-01-01"),
        lambda: Appointment.objects.all()._raw_delete("default"),
    ):
        with pytest.raises(IntegrityError), transaction.atomic():
            act()
    cancel(commission, "Ms Adeyemi", "No room", Decimal(0), owner, timezone.now())
    assert (van(issue), job_of(f"{source_of(issue)}-delivery-1").state) == ({}, "cancelled")
    assert "We come to you" not in text(signed_in.get(f"/p/{issue.links.get().token}/"))
    assert agree_on_closed(signed_in, page, yes, issue).status_code == 409
    erase_client(ms_adeyemi, owner, timezone.now())
    assert set(Appointment.objects.values_list("whom", "note")) == {(None, None)}
    assert "Zoë" not in text(signed_in.get(page))


@pytest.fixture
def next_door(ms_adeyemi, owner):
    """Another commission's yes."""
    other = make_commission(ms_adeyemi)
    add_option(other, "A", small_design("Indigo"))
    made = issue_proposal(other, ("A",), owner, timezone.now())
    return decide(made, yes_to(made), timezone.now())


def test_the_van_hangs_two_panels_on_a_day_only_where_that_is_meant(signed_in, page, yes, next_door):
    theirs = f"/proposals/for/{next_door.proposal.commission.public_id}/appointments/"
    day = after(max(yes.agreed_on, next_door.agreed_on), 2)
    assert agree_on(signed_in, theirs, day).status_code == 302
    refused = agree_on(signed_in, page, day)
    told = f"for another job: Hanging, proposal {next_door.proposal.number}"
    assert (refused.status_code, Appointment.objects.count()) == (422, 1)
    assert f"The van is out on {voice_of(the_studio()).day(day)} {told}" in text(refused)
    form = form_of(refused, "visit.day", day=day.isoformat(), whom="Zoë <b>", anyway="on")
    assert signed_in.post(f"{page}agree/", form).status_code == 302
    assert agree_on(signed_in, page, day, what="delivery").status_code == 422  # the others still have it
    moved = after(day, 1)
    assert agree_on(signed_in, theirs, moved).status_code == 302
    assert agree_on(signed_in, page, day, what="delivery").status_code == 302  # with the own hanging


def test_an_offer_is_hung_on_no_day_on_which_the_van_is_out(signed_in, page, yes, next_door, commission):
    """A third panel, like the first but not sold, could be hung on the day that the first one takes."""
    third = make_commission(commission.client)
    option = add_option(third, "A", small_design())
    free = estimate_option(option, today()).dates
    assert free.site_days == 1
    assert agree_on(signed_in, page, free.hung_from, anyway="on").status_code == 302
    assert estimate_option(option, today()).dates.hung_from == after(free.hung_from, 1)


def test_what_is_issued_is_hung_on_no_day_that_another_took_since(signed_in, page, yes, commission, owner):
    """The day of being ready stays, and the page says both days of the van."""
    third = make_commission(commission.client)
    add_option(third, "A", small_design())
    made = issue_proposal(third, ("A",), owner, timezone.now())
    was, voice = promises_of(read(made).figures)["A"], voice_of(the_studio())
    assert agree_on(signed_in, page, was.hung_from, anyway="on").status_code == 302
    later = after(was.hung_from, 1)
    assert days_named(made, read(made), today())["A"] == replace(was, hung_from=later)
    shown = days_shown(made, read(made), today())["A"]
    assert (shown.text, shown.moved) == (voice.day(was.ready_on), False)
    assert shown.hung.endswith(f"from {voice.day(later)} (issued as {voice.day(was.hung_from)})")
    call_off(yes, "hanging", 1, "", owner, timezone.now())
    assert days_named(made, read(made), today())["A"] == was


def test_a_variation_leaves_the_van_to_its_appointment(signed_in, page, yes, issue, commission, owner):
    day, whole = after(yes.agreed_on, 2), amounts_of(yes).get((VAN, ""), 0)
    assert agree_on(signed_in, page, day).status_code == 302
    change, _again = varied(commission, owner)
    assert van(change) == {day.isoformat(): whole}
    assert (VAN, "") not in job_of(source_of(change)).amounts


def test_what_was_loaded_before_another_yes_or_a_release_is_loaded_anew(yes, issue, commission, owner):
    """Whoever waited for the lock goes by what stands then: a final day that came, another option sold."""
    now, late = timezone.now(), after(yes.agreed_on, 9)
    given = {"what": "hanging", "sold": issue.public_id, "seen": 0, "whom": "Zoë"}
    waited = newest_yes(commission)
    release(commission, late, owner, now)
    with pytest.raises(Refused, match="which is later"):
        agree(waited, Agreed(day=after(yes.agreed_on, 2), **given), owner, now)
    agree(waited, Agreed(day=late, **given), owner, now)
    varied(commission, owner)
    for act in (
        lambda: agree(waited, Agreed(day=late, **given | {"seen": 1}), owner, now),
        lambda: call_off(waited, "hanging", 1, "", owner, now),
    ):
        with pytest.raises(Conflict, match="another option is sold by now"):
            act()
    assert Appointment.objects.count() == 1


def agree_on_closed(signed_in, page, yes, issue):
    """What a page from before the cancellation posts."""
    day = after(yes.agreed_on, 3).isoformat()
    typed = {"what": "hanging", "day": day, "whom": "Z", "sold": issue.public_id, "seen": "1"}
    return signed_in.post(f"{page}agree/", {f"visit.{name}": value for name, value in typed.items()})
