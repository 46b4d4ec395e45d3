"""What only a person can decide: send again, count as sent, do not send."""

from collections.abc import Mapping
from datetime import datetime
from typing import Literal, cast

from django.contrib.auth.models import AbstractBaseUser
from django.db import transaction
from django.db.models import Case, F, Q, QuerySet, TextField, Value, When

from studio.letters.models import Attachment, Letter
from studio.letters.states import GIVEN_UP_AFTER, LATE_AFTER, State
from studio.letters.tasks import send_soon
from studio.problem import Conflict, Refused

__all__ = [
    "DECISIONS", "Decision", "empty_letters", "need_a_look", "open_decisions", "settle",
    "take_back",
]  # fmt: skip

Decision = Literal["again", "sent", "drop"]

DECISIONS: Mapping[Decision, frozenset[State]] = {
    "again": frozenset({State.WAITING, State.PERHAPS, State.FAILED}),
    "sent": frozenset({State.PERHAPS}),
    "drop": frozenset({State.WAITING, State.FAILED}),
}
"""In which standing each can be made."""


def open_decisions(letter: Letter, now: datetime) -> frozenset[Decision]:
    """Of a person who was erased there is nothing left to send, and of what is over nothing to tell."""
    standing = letter.standing(now)
    found = {decision for decision, states in DECISIONS.items() if standing in states}
    return frozenset(found - {"again"} if letter.receiver is None or letter.over_at else found)


def settle(letter: Letter, decision: str, seen: str, by: AbstractBaseUser | None, now: datetime) -> None:
    """Raises Refused for a decision that there is not; Conflict where the letter has changed since it was
    `seen` (its `changed_at`), by a person or by the worker: it is never sent twice by two pages."""
    if decision not in DECISIONS:
        raise Refused.because("decision", "it is not said what to do", "press one of the letter’s buttons")
    made = cast(Decision, decision)
    as_seen = Letter.objects.filter(
        pk=letter.pk,
        state=letter.state,
        changed_at=letter.changed_at,
        receiver=letter.receiver,
        over_at=letter.over_at,
    )
    fits = letter.changed_at.isoformat() == seen and made in open_decisions(letter, now)
    with transaction.atomic():
        if not fits or not as_seen.update(**_settled(made, by, now)):
            raise Conflict.because(
                "letter", "it has changed since this page was shown", "look at it again, then decide"
            )
        if decision == "again":
            send_soon(letter)


def _settled(decision: Decision, by: AbstractBaseUser | None, now: datetime) -> dict[str, object]:
    match decision:
        case "again":
            return {"state": State.WAITING, "due_at": now, "changed_at": now, "settled_by": None}
        case "sent":
            return {"state": State.SENT, "changed_at": now, "settled_by": by}
        case "drop":
            return {"state": State.DROPPED, "changed_at": now, "settled_by": by}


def need_a_look(now: datetime) -> QuerySet[Letter]:
    """Those that nobody but a person brings to an end, and those that should have left."""
    nobody_knows = Q(state=State.PERHAPS) | Q(state=State.SENDING, changed_at__lt=now - GIVEN_UP_AFTER)
    late = Q(state=State.WAITING, due_at__lt=now - LATE_AFTER)
    return Letter.objects.filter(nobody_knows | late | Q(state=State.FAILED))


def take_back(letters: QuerySet[Letter], now: datetime) -> None:
    """What they tell of is over: those that have not left will not, nor be tried again where a try is under
    way."""
    letters.filter(over_at=None).update(over_at=now)
    here = letters.filter(state__in=DECISIONS["drop"])
    here.update(state=State.DROPPED, changed_at=now, settled_by=None)


def empty_letters(letters: QuerySet[Letter], now: datetime) -> None:
    """A person goes: words, address and files; what has not left does not leave any more. One statement, so
    that no letter waits between two."""
    state = Case(
        When(state=State.WAITING, then=Value(State.DROPPED)), default=F("state"), output_field=TextField()
    )
    changed_at = Case(When(state=State.WAITING, then=Value(now)), default=F("changed_at"))
    Attachment.objects.filter(letter__in=letters).update(name=None, content=None)
    letters.update(state=state, changed_at=changed_at, receiver=None, subject=None, body=None, answer=None)
