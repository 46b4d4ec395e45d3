"""Writing a letter into the outbox."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from django.contrib.auth.models import AbstractBaseUser
from django.db import transaction

from studio.letters.models import Attachment, Letter
from studio.letters.tasks import send_soon

__all__ = ["Enclosed", "write_letter"]


@dataclass(frozen=True, slots=True)
class Enclosed:
    """A file to go with a letter; `kind` is its media type."""

    name: str
    kind: str
    content: bytes


@transaction.atomic
def write_letter(
    *,
    key: str,
    source: str,
    receiver: str,
    subject: str,
    body: str,
    now: datetime,
    by: AbstractBaseUser | None = None,
    reply_to: str = "",
    enclosed: Sequence[Enclosed] = (),
) -> tuple[Letter, bool]:
    """The letter of `key`, and whether it is new: what was written by that key before stays as it is. It is
    sent once the caller's transaction is committed, and never when it is not."""
    letter, is_new = Letter.objects.get_or_create(
        key=key,
        defaults={
            "source": source,
            "receiver": receiver,
            "subject": _one_line(subject),
            "body": body,
            "reply_to": reply_to,
            "at": now,
            "by_id": by.pk if by else None,
            "due_at": now,
            "changed_at": now,
        },
    )
    if is_new:
        Attachment.objects.bulk_create(
            Attachment(letter=letter, name=each.name, kind=each.kind, content=each.content)
            for each in enclosed
        )
        send_soon(letter)
    return letter, is_new


def _one_line(text: str) -> str:
    """A line break in a name would be another header."""
    return " ".join(text.split())
