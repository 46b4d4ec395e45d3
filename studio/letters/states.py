"""What can become of a letter, and how long each thing takes."""

from collections.abc import Mapping
from datetime import timedelta

from django.db.models import TextChoices

__all__ = ["GIVEN_UP_AFTER", "LATE_AFTER", "MAY_FOLLOW", "WAITS", "State"]


class State(TextChoices):
    """PERHAPS: nobody knows whether the mail server took it, so nobody but a person sends it again."""

    WAITING = "waiting", "waiting"
    SENDING = "sending", "being sent"
    SENT = "sent", "sent"
    PERHAPS = "perhaps sent", "perhaps sent"
    FAILED = "failed", "not sent"
    DROPPED = "dropped", "dropped"


MAY_FOLLOW: Mapping[State, frozenset[State]] = {
    State.WAITING: frozenset({State.SENDING, State.DROPPED}),
    State.SENDING: frozenset({State.SENT, State.WAITING, State.PERHAPS, State.FAILED, State.DROPPED}),
    State.SENT: frozenset(),
    State.PERHAPS: frozenset({State.WAITING, State.SENT}),
    State.FAILED: frozenset({State.WAITING, State.DROPPED}),
    State.DROPPED: frozenset(),
}
"""The database holds the same (migrations)."""

WAITS = tuple(timedelta(minutes=minutes) for minutes in (1, 5, 15, 60, 240, 720, 1440))
"""After each try that was put off; then it has failed. RFC 5321, section 4.5.4.1, asks for growing waits, and
for half an hour at least between relays; the first ones here are shorter, since a client may be waiting."""

GIVEN_UP_AFTER = timedelta(minutes=15)
"""No try takes so long: each step of it ends after 20 s (studio/env.py)."""

LATE_AFTER = timedelta(minutes=10)
"""A worker looks every second."""
