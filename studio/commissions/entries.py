"""What was said and done: one dated entry after the other, each with who wrote it, in an order that holds."""

import secrets
from collections.abc import Iterator
from dataclasses import asdict, fields
from datetime import datetime

from django.db import transaction
from django.utils import timezone

from studio.chain import Line, breaks, following
from studio.commissions.locks import locked_commission
from studio.commissions.models import Commission, Entry
from studio.forms import Form
from studio.people.models import User
from studio.problem import Refused

__all__ = ["add_entry", "broken_orders", "write_entry"]

LONGEST = 20_000


@transaction.atomic
def add_entry(form: Form, commission: Commission, by: User | None) -> Entry:
    """A note. Raises Refused for nothing, for too much, and once the client is erased."""
    text = form["said"].replace("\r\n", "\n").strip()
    if not text:
        raise Refused.because("said", "nothing is typed", "write what was said")
    if len(text) > LONGEST:
        raise Refused.because("said", f"this has {len(text)} characters", f"at most {LONGEST} in one entry")
    now = locked_commission(commission.pk)  # nobody erases the client meanwhile
    if now.client and now.client.erased_at:
        raise Refused.because("said", "this client was erased", "keep nothing of what they said")
    return write_entry(now, text, by)


@transaction.atomic
def write_entry(
    commission: Commission,
    text: str,
    by: User | None,
    *,
    kind: str = Entry.Kind.NOTE,
    about: str = "",
    at: datetime | None = None,
) -> Entry:
    """The commission's next entry. Texts of events are the only ones that stay when the client is erased, so
    they say nothing personal."""
    locked_commission(commission.pk)  # so that no two are the next one
    last = Entry.objects.filter(commission=commission).order_by("-sequence").first()
    place, before = (last.sequence, last.chain_sha256) if last else (0, commission.public_id)
    said = Line(at or timezone.now(), by.pk if by else None, kind, about, text, secrets.token_hex(16))
    return Entry.objects.create(commission=commission, **asdict(following(place + 1, before, said)))


def broken_orders() -> Iterator[tuple[Commission, list[str]]]:
    """The commissions whose entries are not those that were written, with what does not hold."""
    names = [field.name for field in fields(Line)]
    for commission in Commission.objects.prefetch_related("entries").order_by("pk").iterator(chunk_size=100):
        lines = [Line(*(getattr(entry, name) for name in names)) for entry in commission.entries.all()]
        if found := breaks(commission.public_id, lines):
            yield commission, found
