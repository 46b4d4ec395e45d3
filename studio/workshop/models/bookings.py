"""What jobs take from the workshop, step by step: rows are added, never changed."""

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils import timezone

from studio.making.booked import KINDS, STATES

__all__ = ["Booking", "BookingMovement", "BookingStep"]


class Booking(models.Model):
    """One job that takes something. `source` tells whose it is, in words that only its maker understands;
    one `by_hand` is typed on the calendar's page. `words` name the job to people, and can be erased."""

    source = models.CharField(max_length=60, unique=True)
    words = models.CharField(max_length=200, null=True)  # noqa: DJ001 - NULL is erased, "" was never given
    by_hand = models.BooleanField(default=False)
    at = models.DateTimeField(default=timezone.now)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")

    class Meta:
        ordering = ("pk",)
        constraints = (models.CheckConstraint(condition=~Q(source=""), name="booking_has_a_source"),)

    def __str__(self) -> str:
        return f"booking {self.source}"


class BookingStep(models.Model):
    """The state that a booking comes into. The same `key` says that the same thing happened: it is written
    once."""

    booking = models.ForeignKey(Booking, on_delete=models.PROTECT, related_name="steps")
    sequence = models.PositiveIntegerField()
    key = models.CharField(max_length=100, unique=True)
    state = models.CharField(max_length=10)
    held_until = models.DateField(null=True, help_text="the last day of a hold")
    at = models.DateTimeField(default=timezone.now)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")

    class Meta:
        ordering = ("booking", "sequence")
        constraints = (
            models.UniqueConstraint(fields=("booking", "sequence"), name="one_booking_step"),
            models.CheckConstraint(condition=Q(state__in=STATES), name="booking_state_known"),
            models.CheckConstraint(
                condition=Q(state="held", held_until__isnull=False)
                | (~Q(state="held") & Q(held_until__isnull=True)),
                name="only_a_hold_has_a_day",
            ),
        )

    def __str__(self) -> str:
        return f"{self.booking}, step {self.sequence}: {self.state}"


class BookingMovement(models.Model):
    """What a step adds to the amounts of its booking, or takes from them."""

    step = models.ForeignKey(BookingStep, on_delete=models.PROTECT, related_name="movements")
    kind = models.CharField(max_length=20)
    name = models.CharField(max_length=80, blank=True)
    hundredths = models.BigIntegerField()

    class Meta:
        ordering = ("pk",)
        constraints = (
            models.UniqueConstraint(fields=("step", "kind", "name"), name="one_movement_of_a_kind"),
            models.CheckConstraint(condition=Q(kind__in=KINDS), name="booking_kind_known"),
            models.CheckConstraint(condition=~Q(hundredths=0), name="a_movement_moves"),
        )

    def __str__(self) -> str:
        return f"{self.kind} {self.name}: {self.hundredths} hundredths"
