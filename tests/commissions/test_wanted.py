"""The day by which a client wants it: typed at the enquiry and on the call page, judged, kept."""

from dataclasses import replace
from datetime import date, timedelta

import pytest
from django.test import Client as Browser

from studio.commissions.models import Commission, Option
from studio.commissions.wanted import verdicts, wanted_words
from studio.making.calendar import Dates
from studio.making.shop import Calendar
from studio.making.wanted_by import wanted_by
from studio.making.working_days import working_days_of
from studio.stored.kinds import TERMS
from studio.voice import PLAIN
from studio.workshop.clock import today
from tests.two_tabs import fields_of

SAID = {"space.widths_mm.0": "1.2 m", "space.heights_mm.0": "750"}
HTMX = {"HX-Request": "true"}


@pytest.fixture
def started(signed_in: Browser) -> Commission:
    far = {"wanted_on": (today() + timedelta(days=300)).isoformat()}
    assert signed_in.post("/commissions/new/", SAID | far).status_code == 302
    return Commission.objects.get()


def place(commission: Commission) -> str:
    return f"/commissions/{commission.public_id}/options/A/"


def test_it_is_typed_at_the_enquiry_and_judged_on_the_call(signed_in: Browser, started: Commission) -> None:
    assert started.wanted_on == today() + timedelta(days=300)
    page = signed_in.get(place(started)).content.decode()
    assert f"Wanted by {PLAIN.weekday(started.wanted_on)}: it holds, on your wall by" in page
    assert "It hangs on deposit and colours by" in page
    about = signed_in.get(f"/commissions/{started.public_id}/about/").content.decode()
    assert "Option A. Wanted by" in about


@pytest.mark.parametrize(
    ("typed", "said"), [("2001-01-01", "1 January 2001 was"), ("soon", "A date such as 2026-03-01")]
)
def test_a_day_in_the_past_or_none_at_all_is_refused(signed_in: Browser, started, typed, said) -> None:
    answer = signed_in.post("/commissions/new/", SAID | {"wanted_on": typed})
    assert answer.status_code == 422
    assert said in answer.content.decode()
    assert f'value="{typed}"' in answer.content.decode()
    words = fields_of(signed_in.get(place(started)), terms__wanted_on=typed)
    answer = signed_in.post(place(started), words, headers=HTMX)
    assert answer.status_code == 422
    assert said in answer.content.decode()
    started.refresh_from_db()
    assert started.wanted_on == today() + timedelta(days=300)


def test_it_is_changed_on_the_call_and_moves_no_price(signed_in: Browser, started: Commission) -> None:
    before = Option.objects.get()
    soon = today() + timedelta(days=2)
    words = fields_of(signed_in.get(place(started)), terms__wanted_on=soon.isoformat())
    page = signed_in.post(place(started), words, headers=HTMX).content.decode()
    started.refresh_from_db()
    after = Option.objects.get()
    assert started.wanted_on == soon
    assert (after.gross_minor, after.revision) == (before.gross_minor, before.revision + 1)
    assert "it does not hold, on your wall by" in page
    assert "No option holds" in page
    words = fields_of(signed_in.get(place(started)), terms__wanted_on="")
    assert (
        "Wanted by"
        not in signed_in.post(place(started), words, headers=HTMX).content.decode().split("<form")[0]
    )
    started.refresh_from_db()
    assert started.wanted_on is None


def test_a_day_that_has_passed_meanwhile_may_stay(signed_in: Browser, started: Commission) -> None:
    Commission.objects.update(wanted_on=today() - timedelta(days=1))
    words = fields_of(signed_in.get(place(started)), terms__distance_km="4")
    assert signed_in.post(place(started), words, headers=HTMX).status_code == 200
    started.refresh_from_db()
    assert started.wanted_on == today() - timedelta(days=1)


def test_what_would_make_it_hold(started: Commission) -> None:
    """In words, from verdicts by hand: hung on Thursday 26 and Friday 27 March, ready on the 25th."""
    works = working_days_of(Calendar())
    late = Dates(9, date(2026, 3, 12), date(2026, 3, 18), date(2026, 3, 24), 9, date(2026, 3, 25), 90)
    late = replace(late, hung_from=date(2026, 3, 26), site_days=2)
    soon = replace(late, held_working_days=4, held_on=date(2026, 3, 18), hung_from=date(2026, 3, 19))
    wanted_on, monday = date(2026, 3, 25), date(2026, 3, 2)
    found = {
        letter: wanted_by(wanted_on, each.promise, each.site_days, works, monday)
        for letter, each in (("A", late), ("B", soon))
    }
    assert wanted_words("A", found, started, PLAIN) == (
        "Wanted by Wed, 25 Mar 2026: it does not hold, on your wall by Fri, 27 Mar 2026. It would with "
        "deposit cleared and colours approved by Tue, 10 Mar 2026, if it is collected or with option B."
    )
    assert wanted_words("B", found, started, PLAIN) == (
        "Wanted by Wed, 25 Mar 2026: it holds, on your wall by Fri, 20 Mar 2026. Deposit and colours may "
        "take until Tue, 17 Mar 2026, after Thu, 12 Mar 2026 with a slot held."
    )
    assert wanted_words("C", found, started, PLAIN) == ""


def test_collected_it_is_wanted_ready(started: Commission) -> None:
    started.terms = TERMS.write(replace(TERMS.read(started.terms), delivery="collected"))
    started.save(update_fields=["terms"])
    options = list(Option.objects.select_related("commission__space", "rate_book"))
    found = verdicts(options[0].commission, options, today())
    assert found["A"].collected is None
    assert "it holds, ready by" in wanted_words("A", found, started, PLAIN)
