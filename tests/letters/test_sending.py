"""One letter, one mail server, and everything that it can say to it."""

from datetime import timedelta
from smtplib import (
    SMTPConnectError,
    SMTPDataError,
    SMTPNotSupportedError,
    SMTPRecipientsRefused,
    SMTPResponseException,
    SMTPServerDisconnected,
)  # fmt: skip

import pytest
from django.core import mail
from django.db import transaction
from django.utils import timezone

from studio.letters.carrying import outcome_of
from studio.letters.models import Letter
from studio.letters.settling import empty_letters
from studio.letters.states import WAITS, State
from studio.letters.tasks import send_letter
from tests.letters.conftest import PDF, WORDS, written
from tests.letters.post_office import HANG_UP, HOLD


@pytest.fixture
def letter(db, committed):
    def sent(**more):
        with committed():
            found = written(**more)
        found.refresh_from_db()
        return found

    return sent


def test_it_arrives_as_it_was_written(office, letter):
    row = letter()
    (arrived,) = office.taken
    assert (row.state, row.tries, row.answer) == ("sent", 1, "")
    assert (arrived["To"], arrived["Subject"], arrived["Reply-To"]) == (
        WORDS["receiver"], WORDS["subject"], WORDS["reply_to"]
    )  # fmt: skip
    assert arrived["From"] == "studio@studio.example"
    assert arrived["Message-ID"] == row.message_id
    assert arrived["Content-Language"] == "en-GB"
    text, file = arrived.get_payload()
    assert text.get_payload(decode=True).decode().replace("\r\n", "\n") == WORDS["body"]
    assert (file.get_filename(), file.get_content_type()) == (PDF.name, PDF.kind)
    assert file.get_payload(decode=True) == PDF.content


def test_the_message_id_is_the_rows_own():
    first, second = Letter(), Letter()
    assert first.message_id == first.message_id != second.message_id
    assert first.message_id == f"<{first.public_id.hex}@letters.jigumi.invalid>"


@pytest.mark.parametrize(
    ("says", "state", "words"),
    [
        ({"connect": "421 too busy"}, "waiting", "421 too busy"),
        ({"connect": "554 no letters here"}, "failed", "554 no letters here"),
        ({"connect": HANG_UP}, "waiting", "closed"),
        ({"mail": "451 later"}, "waiting", "451 later"),
        ({"mail": "553 not this sender"}, "failed", "553 not this sender"),
        ({"mail": HANG_UP}, "waiting", "closed"),
        ({"rcpt": "450 full"}, "waiting", "450 full"),
        ({"rcpt": "550 nobody of that name"}, "failed", "550 nobody of that name"),
        ({"rcpt": HANG_UP}, "waiting", "closed"),
        ({"data": "452 no room"}, "waiting", "452 no room"),
        ({"data": "554 no text"}, "failed", "554 no text"),
        ({"text": "451 later"}, "waiting", "451 later"),
        ({"text": "552 too large"}, "failed", "552 too large"),
        ({"text": HANG_UP}, "perhaps sent", "closed"),
        ({"text": HOLD}, "perhaps sent", "timed out"),
        ({"text": "250 " + "taken" * 2000}, "perhaps sent", "too long"),
        ({"text": "what?"}, "perhaps sent", ""),
        ({"quit": HANG_UP}, "sent", ""),
        ({"quit": "421 no farewell"}, "sent", ""),
    ],
)
def test_what_is_known_after_each_end(office, letter, settings, says, state, words):
    settings.EMAIL_TIMEOUT = 0.5 if HOLD in says.values() else 5
    office.says = says
    row = letter()
    assert (row.state, row.tries) == (state, 1)
    assert words in row.answer
    assert len(office.taken) == (state == "sent")
    if "text" not in says and state != "sent":
        assert office.read == []


def test_nobody_listens(office, letter, settings):
    settings.EMAIL_PORT = 1
    assert letter().state == "waiting"


def test_an_address_that_no_letter_can_be_built_for(office, letter):
    row = letter(receiver="a" * 60 + "\n@client.example")
    assert (row.state, office.read) == ("failed", [])


@pytest.mark.parametrize(
    ("error", "data_began", "state"),
    [
        (SMTPDataError(451, b"later"), True, State.WAITING),
        (SMTPDataError(554, b"never"), True, State.FAILED),
        (SMTPDataError(251, b"what?"), True, State.PERHAPS),
        (SMTPResponseException(500, "Line too long."), True, State.PERHAPS),
        (SMTPResponseException(500, "Line too long."), False, State.WAITING),
        (SMTPServerDisconnected("gone"), True, State.PERHAPS),
        (SMTPServerDisconnected("gone"), False, State.WAITING),
        (TimeoutError(), True, State.PERHAPS),
        (TimeoutError(), False, State.WAITING),
        (ConnectionRefusedError("nobody"), False, State.WAITING),
        (SMTPConnectError(554, b"not you"), False, State.FAILED),
        (SMTPRecipientsRefused({"a@b": (550, b"who?")}), False, State.FAILED),
        (SMTPRecipientsRefused({"a@b": (450, b"full")}), False, State.WAITING),
        (SMTPNotSupportedError("no STARTTLS"), False, State.FAILED),
        (ValueError("no address"), False, State.FAILED),
        (ValueError("odd"), True, State.PERHAPS),
    ],
)
def test_errors_are_sorted(error, data_began, state):
    outcome = outcome_of(error, data_began)
    assert outcome.state == state
    assert outcome.answer


def test_one_key_is_one_letter_and_what_was_written_first_stays(office, letter):
    first = letter(key="one", subject="First")
    again = letter(key="one", subject="Second")
    assert (first, again.subject, again.attachments.count()) == (again, "First", 1)
    assert len(office.taken) == 1
    letter(key="two", subject="Third\r\nBcc: everybody@elsewhere.example")
    assert office.taken[1]["Subject"] == "Third Bcc: everybody@elsewhere.example"


def test_it_leaves_only_when_what_it_tells_of_is_committed(office, db, committed):
    with committed():
        with transaction.atomic():
            written()
            transaction.set_rollback(True)
        with transaction.atomic():
            written("kept")
            assert office.read == []
    assert Letter.objects.get().key == "kept"
    assert len(office.taken) == 1


def test_a_task_that_comes_twice_or_early_does_nothing(office, letter):
    sent = letter()
    send_letter.enqueue(sent.pk)
    later = written("later", now=timezone.now() + timedelta(minutes=1))
    send_letter.enqueue(later.pk)
    send_letter.enqueue(10**6)
    later.refresh_from_db()
    assert (len(office.taken), later.state, later.tries) == (1, "waiting", 0)


def test_waits_grow_and_end(office, letter):
    office.says = {"rcpt": "450 full"}
    row, waits = letter(), []
    for _ in WAITS:
        waits.append(row.due_at - row.changed_at)
        assert row.state == "waiting"
        Letter.objects.filter(pk=row.pk).update(due_at=timezone.now())
        send_letter.enqueue(row.pk)
        row.refresh_from_db()
    assert waits == sorted(set(waits)) == list(WAITS)
    assert (row.state, row.tries, row.answer) == ("failed", len(WAITS) + 1, "450 full")
    assert office.read == []


@pytest.mark.parametrize("said", ["450 adeyemi@client.example is full", "250 yes", "550 adeyemi who?"])
def test_a_person_erased_while_the_letter_is_under_way(office, letter, monkeypatch, said):
    """What the server said afterwards names nobody, and nothing waits that has no words any more."""
    from studio.letters import tasks

    office.says, carry = {"rcpt": said}, tasks.carry

    def meanwhile(row):
        outcome = carry(row)
        empty_letters(Letter.objects.all(), timezone.now())
        return outcome

    monkeypatch.setattr(tasks, "carry", meanwhile)
    row = letter()
    assert row.state == {"4": "dropped", "2": "sent", "5": "failed"}[said[0]]
    assert (row.receiver, row.subject, row.body, row.answer) == (None,) * 4


@pytest.mark.parametrize("emptied", ["receiver", "attachments"])
def test_a_person_erased_between_the_claim_and_the_first_word(office, letter, monkeypatch, emptied):
    from studio.letters import tasks

    claimed = tasks._claimed

    def meanwhile(letter_id, now):
        early = claimed(letter_id, now)
        empty_letters(Letter.objects.all(), now)
        return Letter.objects.get(pk=letter_id) if emptied == "receiver" else early

    monkeypatch.setattr(tasks, "_claimed", meanwhile)
    assert (letter().state, office.read) == ("dropped", [])


def test_without_a_mail_server_letters_are_written_at_once(letter):
    assert letter().state == "sent"
    assert mail.outbox[0].attachments[0].content == PDF.content


def test_without_an_address_nothing_is_sent(db, office, committed):
    with committed():
        row = written(receiver="")
    row.refresh_from_db()
    assert (row.state, row.answer) == ("failed", "it has no address")
