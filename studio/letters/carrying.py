"""One try to hand a letter to the mail server, and what is known after it."""

from contextlib import suppress
from dataclasses import dataclass
from smtplib import SMTPNotSupportedError, SMTPRecipientsRefused, SMTPResponseException

from django.core.mail import EmailMessage, get_connection
from django.core.mail.backends.base import BaseEmailBackend

from studio.letters.models import Attachment, Letter
from studio.letters.states import State

__all__ = ["Outcome", "carry", "outcome_of"]

LANGUAGE = "en-GB"
"""Of the words; figures are in the manner of the studio's own country."""


@dataclass(frozen=True, slots=True)
class Outcome:
    """The state that follows, WAITING for another try later, and what the server or the machine said."""

    state: State
    answer: str = ""


def carry(letter: Letter) -> Outcome:
    """Raises nothing: whatever goes wrong is an outcome."""
    files = list(letter.attachments.all())
    if letter.receiver is None or any(each.content is None for each in files):  # erased since the claim
        return Outcome(State.DROPPED)
    connection = get_connection()
    try:
        connection.open()
        if not _message(letter, files, connection).send():
            return Outcome(State.FAILED, "it has no address")
    except Exception as error:
        return outcome_of(error, getattr(connection, "data_began", False))
    finally:
        with suppress(Exception):  # a farewell that fails takes nothing back
            connection.close()
    return Outcome(State.SENT)


def outcome_of(error: Exception, data_began: bool) -> Outcome:
    """RFC 5321, section 4.2.1: a reply 4yz or 5yz means that the server did not take the letter, for now or
    for good. Without a reply it has not taken it either, unless its text was under way (section 4.2.5)."""
    code, answer = _reply(error)
    if 500 <= code < 600:
        return Outcome(State.FAILED, answer)
    if 400 <= code < 500:
        return Outcome(State.WAITING, answer)
    if data_began:
        return Outcome(State.PERHAPS, answer)
    if isinstance(error, OSError) and not isinstance(error, SMTPNotSupportedError):
        return Outcome(State.WAITING, answer)
    return Outcome(State.FAILED, answer)  # it cannot be written as a letter, or not to this server


def _reply(error: Exception) -> tuple[int, str]:
    """The server's reply, or 0 and what else went wrong. smtplib's own 500 for a line that is too long to be
    read is no reply of the server, and comes as the bare class."""
    if isinstance(error, SMTPRecipientsRefused):
        ((code, said),) = error.recipients.values()
        return code, _words(code, said)
    if isinstance(error, SMTPResponseException) and type(error) is not SMTPResponseException:
        return error.smtp_code, _words(error.smtp_code, error.smtp_error)
    return 0, (str(error) or type(error).__name__)[:500]


def _words(code: int, said: bytes | str) -> str:
    return f"{code} {said.decode('utf-8', 'replace') if isinstance(said, bytes) else said}"[:500]


def _message(letter: Letter, files: list[Attachment], connection: BaseEmailBackend) -> EmailMessage:
    message = EmailMessage(
        subject=letter.subject or "",
        body=letter.body or "",
        to=[letter.receiver or ""],
        reply_to=[letter.reply_to] if letter.reply_to else None,
        headers={"Message-ID": letter.message_id, "Content-Language": LANGUAGE},
        connection=connection,
    )
    for each in files:
        message.attach(each.name, bytes(each.content or b""), each.kind)
    return message
