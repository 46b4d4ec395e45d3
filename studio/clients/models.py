"""Clients, the people to talk to, and the spaces that panels are for."""

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.db.models.functions import Length
from django.db.models.lookups import LessThanOrEqual
from django.utils import timezone

from studio.clients.picture import MOST_STORED_BYTES
from studio.ids import new_public_id
from studio.people.touched import Touched

__all__ = ["Client", "Contact", "Photograph", "Space"]


class Client(Touched):
    """A person or business. Figures never depend on this row once a proposal is issued: the issue keeps its
    own copy."""

    class Kind(models.TextChoices):
        CONSUMER = "consumer", "private person"
        BUSINESS = "business", "business"

    class Prices(models.TextChoices):
        """How prices are named to them (`Terms.prices`)."""

        USUAL = "usual", "as is usual"
        WITH = "with tax", "with tax"
        WITHOUT = "without tax", "without tax"

    public_id = models.CharField(max_length=12, unique=True, default=new_public_id, editable=False)
    name = models.CharField(max_length=200)
    kind = models.CharField(max_length=10, choices=Kind, default=Kind.CONSUMER)
    email = models.EmailField(blank=True)
    phone = models.CharField(max_length=40, blank=True)
    address = models.TextField(max_length=1000, blank=True)
    prices = models.CharField(max_length=11, choices=Prices, default=Prices.USUAL)
    tax = models.CharField(max_length=40, default="standard", help_text="a tax category of the rate book")
    tax_number = models.CharField(max_length=40, blank=True)
    distance_km = models.DecimalField(max_digits=7, decimal_places=1, null=True, help_text="one way")
    notes = models.TextField(max_length=5000, blank=True)
    invented = models.BooleanField(default=False, editable=False)
    created_at = models.DateTimeField(auto_now_add=True)
    erased_at = models.DateTimeField(null=True, blank=True, editable=False)

    class Meta:
        ordering = ("name", "pk")

    def __str__(self) -> str:
        return self.name


class Contact(models.Model):
    client = models.ForeignKey(Client, on_delete=models.CASCADE, related_name="contacts")
    name = models.CharField(max_length=200)
    role = models.CharField(max_length=80, blank=True)
    email = models.EmailField(blank=True)
    phone = models.CharField(max_length=40, blank=True)

    class Meta:
        ordering = ("pk",)

    def __str__(self) -> str:
        return self.name


class Space(Touched):
    """One place at a client's, who may be unknown yet. `document` is a studio.lattice.design.Space as JSON;
    `typed` keeps each length as it was typed, by field name, beside it."""

    public_id = models.CharField(max_length=12, unique=True, default=new_public_id, editable=False)
    client = models.ForeignKey(Client, on_delete=models.PROTECT, null=True, blank=True, related_name="spaces")
    name = models.CharField(max_length=200, default="an empty stretch of wall")
    document = models.JSONField()
    typed = models.JSONField(default=dict)
    measured_by = models.CharField(max_length=200, blank=True)
    measured_on = models.DateField(null=True, blank=True)
    notes = models.TextField(max_length=5000, blank=True)
    created_at = models.DateTimeField(auto_now_add=True)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")

    class Meta:
        ordering = ("-pk",)

    def __str__(self) -> str:
        return self.name

    @property
    def typed_texts(self) -> dict[str, str]:
        """`typed` without anything that is no text."""
        typed = self.typed if isinstance(self.typed, dict) else {}
        return {name: text for name, text in typed.items() if isinstance(text, str)}


class Photograph(models.Model):
    """A picture of a space, made anew from its pixels when it was taken in; the row never changes, but that
    erasing empties `image`. `sha256` is of the bytes, and stays."""

    public_id = models.CharField(max_length=12, unique=True, default=new_public_id, editable=False)
    space = models.ForeignKey(Space, on_delete=models.PROTECT, related_name="photographs")
    image = models.BinaryField(null=True)
    sha256 = models.CharField(max_length=64)
    width_px = models.PositiveIntegerField()
    height_px = models.PositiveIntegerField()
    at = models.DateTimeField(default=timezone.now, editable=False)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")

    class Meta:
        ordering = ("pk",)
        constraints = (
            models.CheckConstraint(
                condition=LessThanOrEqual(Length("image"), MOST_STORED_BYTES), name="photograph_not_too_large"
            ),
            models.CheckConstraint(
                condition=Q(width_px__gte=1, height_px__gte=1), name="photograph_has_pixels"
            ),
        )

    def __str__(self) -> str:
        return f"{self.space}, {self.at:%Y-%m-%d}"
