"""Sending what waits, by the worker or, where there is none, at once."""

from datetime import datetime

from django.db import transaction
from django.db.models import Case, F, Q, TextField, Value, When
from django.utils import timezone
from django_tasks import task

from studio.letters.carrying import Outcome, carry
from studio.letters.models import Letter
from studio.letters.states import WAITS, State

__all__ = ["send_letter", "send_soon"]


def send_soon(letter: Letter) -> None:
    """Once the transaction is committed. Should that fail then, the letter waits, and is said to be late."""
    transaction.on_commit(lambda: send_letter.enqueue(letter.pk), robust=True)


@task
def send_letter(letter_id: int) -> None:
    """Try a letter that is due; any other is left alone, so that a task may come twice."""
    letter = _claimed(letter_id, timezone.now())
    if letter is not None:
        _settle(letter, carry(letter), timezone.now())


def _claimed(letter_id: int, now: datetime) -> Letter | None:
    """Of several who ask at once, one gets it: the update of a row that is still waiting."""
    due = Letter.objects.filter(pk=letter_id, state=State.WAITING, due_at__lte=now)
    tried = {"state": State.SENDING, "tries": F("tries") + 1, "changed_at": now, "settled_by": None}
    return Letter.objects.get(pk=letter_id) if due.update(**tried) else None


def _settle(letter: Letter, outcome: Outcome, now: datetime) -> None:
    """Only what nobody settled meanwhile. What the server said can name the receiver: not of one that was
    erased meanwhile. Nor does that letter wait, or one of what is over by now."""
    state, due_at = outcome.state, letter.due_at
    if state == State.WAITING and letter.tries > len(WAITS):
        state = State.FAILED
    elif state == State.WAITING:
        due_at = now + WAITS[letter.tries - 1]
    kept, output = Q(receiver__isnull=False), TextField()
    stands = State.DROPPED if state == State.WAITING else state
    settled = Letter.objects.filter(pk=letter.pk, state=State.SENDING, tries=letter.tries).update(
        state=Case(When(kept, over_at=None, then=Value(state)), default=Value(stands), output_field=output),
        answer=Case(When(kept, then=Value(outcome.answer)), output_field=output),
        due_at=due_at,
        changed_at=now,
    )
    if settled and state == State.WAITING and send_letter.get_backend().supports_defer:
        send_letter.using(run_after=due_at).enqueue(letter.pk)
