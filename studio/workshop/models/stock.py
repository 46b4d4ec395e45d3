"""What comes onto the shelf and goes from it: rows are added, never changed."""

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils import timezone

__all__ = ["StockMovement"]


class StockMovement(models.Model):
    """Grams of a filament that are on the shelf from then on, or no longer. `lot` and `spool` are as they are
    written on it, empty where nobody tells them apart. The same `key` is written once."""

    class Why(models.TextChoices):
        OPENING = "opening", "carried over"
        COUNTED = "counted", "counted"
        BOUGHT = "bought", "bought"
        USED = "used", "used"
        LOST = "lost", "lost"

    filament = models.CharField(max_length=80)
    lot = models.CharField(max_length=80, blank=True)
    spool = models.CharField(max_length=80, blank=True)
    hundredths_g = models.BigIntegerField()
    why = models.CharField(max_length=10, choices=Why)
    key = models.CharField(max_length=100, unique=True, null=True)  # noqa: DJ001 - many rows without one
    at = models.DateTimeField(default=timezone.now)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")

    class Meta:
        ordering = ("pk",)
        constraints = (
            models.CheckConstraint(
                condition=Q(why__in=("opening", "counted", "bought", "used", "lost")), name="stock_why_known"
            ),
            models.CheckConstraint(condition=~Q(hundredths_g=0), name="stock_moves"),
        )
        indexes = (models.Index(fields=("filament",), name="stock_by_filament"),)

    def __str__(self) -> str:
        return f"{self.filament}: {self.hundredths_g} hundredths of a gram, {self.why}"
