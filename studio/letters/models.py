"""The outbox: what is to be written to somebody, as a row in the transaction of what it tells of.

Rows are guarded in the database (migrations): what was written never changes and is never deleted; only what
is personal can be emptied, when a person is erased. State and tries change, as `states` allows.
"""

import uuid
from datetime import datetime

from django.conf import settings
from django.db import models
from django.db.models import Q

from studio.letters.states import GIVEN_UP_AFTER, LATE_AFTER, State

__all__ = ["Attachment", "Letter"]


class Letter(models.Model):
    """One letter to one receiver. `key` is its writer's: written twice by one key, it is one letter; `source`
    says what it tells of, in words that only the writer understands. `at` is when it was written,
    `changed_at` when its state last changed, `due_at` when it may be tried (again), `over_at` when what it
    tells of was over: from then on it does not wait for another try. `answer` is what the mail server said
    last. `settled_by` decided in the server's stead."""

    public_id = models.UUIDField(unique=True, default=uuid.uuid4, editable=False)
    key = models.CharField(max_length=120, unique=True)
    source = models.CharField(max_length=60, db_index=True)
    receiver = models.EmailField(null=True)  # noqa: DJ001 (guards empty to NULL)
    subject = models.TextField(null=True)  # noqa: DJ001
    body = models.TextField(null=True)  # noqa: DJ001
    reply_to = models.EmailField(blank=True)
    at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")
    state = models.CharField(max_length=12, choices=State, default=State.WAITING)
    tries = models.PositiveIntegerField(default=0)
    due_at = models.DateTimeField()
    changed_at = models.DateTimeField()
    over_at = models.DateTimeField(null=True, editable=False)
    answer = models.TextField(null=True)  # noqa: DJ001
    settled_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+"
    )

    class Meta:
        ordering = ("pk",)
        constraints = (
            models.CheckConstraint(
                condition=Q(state__in=("waiting", "sending", "sent", "perhaps sent", "failed", "dropped")),
                name="letter_state_known",
            ),
            models.CheckConstraint(
                condition=~Q(state="waiting") | Q(receiver__isnull=False, subject__isnull=False),
                name="a_waiting_letter_can_be_sent",
            ),
        )

    def __str__(self) -> str:
        return f"letter {self.pk}, {self.state}"

    @property
    def message_id(self) -> str:
        """The same at every try, so that a receiver's program can tell that two are one: RFC 5322, section
        3.6.4. Made of the row's own random id; to the right of the @ stands no host, whose name could change,
        but a name that is nobody's (RFC 2606)."""
        return f"<{self.public_id.hex}@letters.jigumi.invalid>"

    def standing(self, now: datetime) -> State:
        """Its state; who was to send it and said nothing since may have sent it."""
        if self.state == State.SENDING and self.changed_at < now - GIVEN_UP_AFTER:
            return State.PERHAPS
        return State(self.state)

    def is_late(self, now: datetime) -> bool:
        """It should have been tried: nobody sends letters."""
        return self.state == State.WAITING and self.due_at < now - LATE_AFTER


class Attachment(models.Model):
    """A file that goes with a letter."""

    letter = models.ForeignKey(Letter, on_delete=models.PROTECT, related_name="attachments")
    name = models.CharField(max_length=120, null=True)  # noqa: DJ001
    kind = models.CharField("media type", max_length=60)
    content = models.BinaryField(null=True)

    class Meta:
        ordering = ("pk",)

    def __str__(self) -> str:
        return f"attachment {self.pk} of letter {self.letter_id}"
