"""The studio itself: its name and texts, its rate books in time, its calendar, its patterns; what is booked
and what lies on the shelf have files of their own."""

from django.conf import settings
from django.db import models

from studio.people.touched import Touched
from studio.workshop.models.bookings import Booking, BookingMovement, BookingStep
from studio.workshop.models.stock import StockMovement

__all__ = [
    "Booking", "BookingMovement", "BookingStep", "PatternRevision", "RateBookRevision", "ShopRevision",
    "StockMovement", "Studio",
]  # fmt: skip


class Studio(Touched):
    """The one studio that this site serves."""

    class Units(models.TextChoices):
        METRIC = "metric", "millimetres and metres"
        IMPERIAL = "imperial", "feet and inches"

    class Paper(models.TextChoices):
        A4 = "A4", "A4"
        LETTER = "letter", "US Letter"

    name = models.CharField(max_length=200, default="Our studio")
    address = models.TextField(max_length=1000, blank=True)
    email = models.EmailField(blank=True)
    phone = models.CharField(max_length=40, blank=True)
    locale = models.CharField(
        max_length=20, default="en_GB", help_text="for numbers, dates and money, such as en_GB"
    )
    units = models.CharField(max_length=10, choices=Units, default=Units.METRIC)
    paper = models.CharField(max_length=10, choices=Paper, default=Paper.A4)
    terms_text = models.TextField(max_length=10_000, blank=True)
    invented = models.BooleanField(default=False, editable=False)

    def __str__(self) -> str:
        return self.name


class Revision(models.Model):
    """A whole document saved as it was: append-only, guarded in the database. `document` is canonical JSON
    text."""

    recorded_at = models.DateTimeField(auto_now_add=True)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")
    document = models.TextField()
    sha256 = models.CharField(max_length=64)

    class Meta:
        abstract = True
        ordering = ("-pk",)


class RateBookRevision(Revision):
    """A studio.pricing.rate_book.RateBook, holding from `effective_from`."""

    effective_from = models.DateField()
    currency = models.CharField(max_length=3)

    def __str__(self) -> str:
        return f"rate book {self.pk} from {self.effective_from}"


class ShopRevision(Revision):
    """A studio.making.shop.Calendar; older ones also held the stock and what was promised. The newest
    counts."""

    def __str__(self) -> str:
        return f"workshop state {self.pk}"


class PatternRevision(Revision):
    """One of the studio's own patterns (studio.lattice.pattern.Pattern) as it was added. A new file of the
    same slug adds the next revision; the only change of a row, made once, is that it is retired."""

    slug = models.CharField(max_length=60)
    revision = models.PositiveIntegerField()
    lattice = models.CharField(max_length=20, help_text="the family of lattices whose cells it fills")
    retired_at = models.DateTimeField(null=True, editable=False)
    retired_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+"
    )

    class Meta(Revision.Meta):
        constraints = (models.UniqueConstraint(fields=("slug", "revision"), name="one_pattern_revision"),)

    def __str__(self) -> str:
        return f"pattern {self.slug}, revision {self.revision}"
