"""After the yes: a day for the hanging is agreed, moved, called off; refused on a day off; booked."""

from datetime import timedelta
from decimal import Decimal
from html import unescape

import pytest
from django.db import IntegrityError, transaction
from django.utils import timezone

from studio.commissions.models import Entry
from studio.letters.models import Letter
from studio.making.working_days import working_days_of
from studio.proposals.booking import amounts_of, source_of
from studio.proposals.deciding import decide
from studio.proposals.erasing import erase_client
from studio.proposals.models import Appointment
from studio.proposals.selling import cancel
from studio.workshop.bookings import booked, job_of
from studio.workshop.books import the_studio, voice_of
from studio.workshop.clock import today
from studio.workshop.shop import readable_calendar
from tests.proposals.conftest import yes_to
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


def agree_on_closed(signed_in, page, yes, issue):
    """What a page from before the cancellation posts."""
    day = after(yes.agreed_on, 3).isoformat()
    typed = {"what": "hanging", "day": day, "whom": "Z", "sold": issue.public_id, "seen": "1"}
    return signed_in.post(f"{page}agree/", {f"visit.{name}": value for name, value in typed.items()})
