"""What a person decides about a letter, on the page that says how each stands."""

from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from studio.letters.carrying import Outcome
from studio.letters.models import Attachment, Letter
from studio.letters.settling import DECISIONS, empty_letters, open_decisions, take_back
from studio.letters.states import GIVEN_UP_AFTER, LATE_AFTER, State
from studio.letters.tasks import _settle
from tests.letters.conftest import written
from tests.letters.post_office import HANG_UP

WORDS = {
    State.WAITING: "Waits to be sent to",
    State.SENDING: "Being sent to",
    State.SENT: "Sent to",
    State.PERHAPS: "Perhaps sent</strong> to",
    State.FAILED: "Not sent</strong> to",
    State.DROPPED: "and will not be: it was taken back",
}
SETTLED = {"again": State.SENT, "sent": State.SENT, "drop": State.DROPPED}


def text(answer):
    return answer.content.decode()


def standing(state, **more):
    """A letter that came to this state; guards let nobody set one."""
    row = written(f"{state}-{Letter.objects.count()}", **more)
    if state == State.DROPPED:
        Letter.objects.filter(pk=row.pk).update(state=state)
    elif state != State.WAITING:
        Letter.objects.filter(pk=row.pk).update(state=State.SENDING, tries=1)
        Letter.objects.filter(pk=row.pk).update(state=state)
    row.refresh_from_db()
    return row


def test_what_is_taken_back_while_it_is_being_sent_is_not_tried_again(signed_in):
    """The server says later; what it tells of is over by then."""
    row = written("taken back")
    Letter.objects.filter(pk=row.pk).update(state=State.SENDING, tries=1)
    row.refresh_from_db()
    take_back(Letter.objects.filter(pk=row.pk), timezone.now())
    _settle(row, Outcome(State.WAITING, "451 later"), timezone.now())
    row.refresh_from_db()
    assert row.state == State.DROPPED


@pytest.mark.parametrize("state", [State.PERHAPS, State.SENT])
def test_what_was_taken_back_may_have_left(signed_in, state):
    """A person says whether it did, and does not send it again."""
    row = written("taken back")
    Letter.objects.filter(pk=row.pk).update(state=State.SENDING, tries=1)
    row.refresh_from_db()
    take_back(Letter.objects.filter(pk=row.pk), timezone.now())
    _settle(row, Outcome(state, ""), timezone.now())
    row.refresh_from_db()
    assert row.state == state
    assert press(signed_in, row, "again").status_code == 409
    assert open_decisions(row, timezone.now()) == ({"sent"} if state == State.PERHAPS else set())


def press(browser, row, decision, seen=None):
    posted = {"decision": decision, "seen": seen or row.changed_at.isoformat()}
    return browser.post(f"/letters/{row.public_id}/", posted)


def test_nothing_yet(signed_in):
    assert "No letter was written yet" in text(signed_in.get("/letters/"))


@pytest.mark.parametrize("state", State)
def test_each_standing_has_its_words_and_its_decisions(signed_in, state):
    row = standing(state)
    page = text(signed_in.get("/letters/"))
    assert [words for words in WORDS.values() if words in page] == [WORDS[state]]
    assert {each for each in DECISIONS if f'value="{each}"' in page} == {
        each for each, states in DECISIONS.items() if state in states
    }
    assert row.receiver in page
    assert ("These need a look" in page) == (state in (State.PERHAPS, State.FAILED))


@pytest.mark.parametrize("state", State)
@pytest.mark.parametrize("decision", DECISIONS)
def test_a_decision_is_made_where_it_is_open(signed_in, owner, office, committed, state, decision):
    row = standing(state)
    with committed():
        answer = press(signed_in, row, decision)
    before = row.changed_at
    row.refresh_from_db()
    if state in DECISIONS[decision]:
        assert (answer.status_code, row.state) == (302, SETTLED[decision])
        assert row.settled_by == (None if decision == "again" else owner)
    else:
        assert (answer.status_code, row.state, row.changed_at) == (409, state, before)
        assert "has changed since this page was shown" in text(answer)
    assert len(office.taken) == (decision == "again" and state in DECISIONS["again"])


def test_counted_as_sent_says_who_counted(signed_in, owner):
    press(signed_in, standing(State.PERHAPS), "sent")
    assert "Counted as sent to" in (page := text(signed_in.get("/letters/")))
    assert f"by {owner} on" in page


def test_two_pages_send_it_once(signed_in, tam, office, committed):
    row = standing(State.PERHAPS)
    with committed():
        assert press(signed_in, row, "again").status_code == 302
    with committed():
        assert press(tam, row, "again").status_code == 409
        assert press(tam, row, "sent").status_code == 409
    assert len(office.taken) == 1


@pytest.mark.parametrize("decision", ["", "burn"])
def test_something_else_is_no_decision(signed_in, decision):
    row = standing(State.FAILED)
    answer = press(signed_in, row, decision)
    assert (answer.status_code, "press one of" in text(answer)) == (422, True)
    assert Letter.objects.get().state == "failed"


@pytest.mark.parametrize("seen", ["", "never", "9" * 5000])
def test_what_was_not_seen_is_not_decided(signed_in, seen):
    assert press(signed_in, standing(State.FAILED), "again", seen or " ").status_code == 409


def test_strangers_and_wrong_addresses(client, signed_in):
    row = standing(State.FAILED)
    assert signed_in.get(f"/letters/{row.public_id}/").status_code == 405
    assert signed_in.post("/letters/00000000-0000-4000-8000-000000000000/").status_code == 404
    signed_in.logout()
    assert client.get("/letters/")["Location"].startswith("/sign-in/")
    assert client.post(f"/letters/{row.public_id}/")["Location"].startswith("/sign-in/")


def test_a_sender_that_never_came_back_may_have_sent_it(signed_in, office, committed):
    row = standing(State.SENDING)
    Letter.objects.update(changed_at=timezone.now() - GIVEN_UP_AFTER - timedelta(seconds=1))
    row.refresh_from_db()
    page = text(signed_in.get("/letters/"))
    assert WORDS[State.PERHAPS] in page
    assert "These need a look" in page
    with committed():
        assert press(signed_in, row, "again").status_code == 302
    assert len(office.taken) == 1


def test_the_answer_is_shown_and_a_late_try_of_the_first_sender_changes_nothing(signed_in, office, committed):
    office.says = {"text": HANG_UP}
    with committed():
        row = written()
    assert "The answer was: “Connection unexpectedly closed”" in text(signed_in.get("/letters/"))
    row.refresh_from_db()
    press(signed_in, row, "sent")
    _settle(row, Outcome(State.FAILED, "550 late"), timezone.now())
    assert Letter.objects.get().state == "sent"


def test_without_a_worker_it_is_said_on_the_board_and_on_the_page(signed_in):
    written(now=timezone.now() - LATE_AFTER + timedelta(minutes=1))
    assert "did not leave" not in text(signed_in.get("/"))
    assert "is the worker running?" not in text(signed_in.get("/letters/"))
    written("late", now=timezone.now() - LATE_AFTER - timedelta(seconds=1))
    assert '<a href="/letters/">1 letter</a> did not leave, or may not have left.' in text(signed_in.get("/"))
    page = text(signed_in.get("/letters/"))
    assert page.count("is the worker running?") == 1
    assert "These need a look" in page


def test_erasing_empties_and_takes_back_what_waits(signed_in):
    rows = {state: standing(state, subject="Adeyemi", body="Adeyemi") for state in State}
    other = written("other", receiver="other@client.example")
    mine = Letter.objects.filter(pk__in=[row.pk for row in rows.values()])
    empty_letters(mine, timezone.now())
    for state, row in rows.items():
        row.refresh_from_db()
        assert row.state == (State.DROPPED if state == State.WAITING else state)
        assert (row.receiver, row.subject, row.body, row.answer) == (None,) * 4
    kept = Attachment.objects.exclude(content=None)
    assert [each.letter for each in kept] == [other]
    page = text(signed_in.get("/letters/"))
    assert "adeyemi" not in page.lower()
    assert "an address since erased" in page
    assert page.count('value="again"') == 1
    assert press(signed_in, rows[State.FAILED], "again").status_code == 409


def test_names_cannot_write_markup(signed_in):
    written(subject="<b>Zoë</b> & {{ x }} 🙂")
    assert "&lt;b&gt;Zoë&lt;/b&gt; &amp; {{ x }} 🙂" in text(signed_in.get("/letters/"))


def test_queries_do_not_grow_with_letters(signed_in, owner, django_assert_num_queries):
    def more():
        for state in State:
            standing(state)
        Letter.objects.filter(state=State.DROPPED).update(settled_by=owner)

    more()
    signed_in.get("/letters/")  # which makes the studio's row
    with CaptureQueriesContext(connection) as first:
        signed_in.get("/letters/")
    more()
    with django_assert_num_queries(len(first)) as again:
        signed_in.get("/letters/")
    assert not any('"body"' in query["sql"] for query in again)
