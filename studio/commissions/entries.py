"""What the client said: one dated entry after the other, each with who wrote it."""

from django.db import transaction

from studio.commissions.locks import locked_commission
from studio.commissions.models import Commission, Entry
from studio.forms import Form
from studio.people.models import User
from studio.problem import Refused

__all__ = ["add_entry"]

LONGEST = 20_000


@transaction.atomic
def add_entry(form: Form, commission: Commission, by: User | None) -> Entry:
    """Raises Refused for nothing, for too much, and once the client is erased."""
    text = form["said"].replace("\r\n", "\n").strip()
    if not text:
        raise Refused.because("said", "nothing is typed", "write what was said")
    if len(text) > LONGEST:
        raise Refused.because("said", f"this has {len(text)} characters", f"at most {LONGEST} in one entry")
    now = locked_commission(commission.pk)  # nobody erases the client meanwhile
    if now.client and now.client.erased_at:
        raise Refused.because("said", "this client was erased", "keep nothing of what they said")
    return Entry.objects.create(commission=now, text=text, by=by)
