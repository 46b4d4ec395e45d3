"""What a client paid and was invoiced for what they said yes to.

Rows are guarded in the database (migrations): they are added, never changed; only what is personal in them
can be emptied, when a person is erased. What was wrong is set right by a row that names it.
"""

from decimal import Decimal

from django.conf import settings
from django.db import models
from django.db.models import F, Q

from studio.ids import new_public_id
from studio.money import from_minor
from studio.proposals.models import Decision
from studio.voice import Voice

__all__ = ["ColoursApproved", "Invoice", "InvoiceTax", "Payment"]


class OfAStage(models.Model):
    """A row about one stage of payment, counted from 1, of what a yes agreed to."""

    public_id = models.CharField(max_length=12, unique=True, default=new_public_id, editable=False)
    decision = models.ForeignKey(Decision, on_delete=models.PROTECT, related_name="%(class)ss")
    stage = models.PositiveSmallIntegerField()
    currency = models.CharField(max_length=3)
    at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")

    class Meta:
        abstract = True


class Payment(OfAStage):
    """Money received. `public_id` comes with the form, so that a form that is sent twice writes once.
    `reference` is what the payer wrote with it and can be emptied, nothing else can. A row that `counters`
    another takes it back whole."""

    amount_minor = models.BigIntegerField()
    received_on = models.DateField()
    reference = models.CharField(max_length=200, null=True)  # noqa: DJ001 (guards empty to NULL)
    counters = models.OneToOneField("self", on_delete=models.PROTECT, null=True, related_name="countered_by")

    class Meta:
        ordering = ("pk",)
        constraints = (
            models.CheckConstraint(
                condition=Q(counters=None, amount_minor__gt=0)
                | Q(counters__isnull=False, amount_minor__lt=0),
                name="only_a_counter_row_takes_away",
            ),
        )

    def __str__(self) -> str:
        return f"{self.amount} {self.currency} on {self.received_on} for stage {self.stage}"

    @property
    def amount(self) -> Decimal:
        return from_minor(self.amount_minor, self.currency)

    def in_words(self, voice: Voice) -> str:
        return voice.using(self.currency).minor(self.amount_minor)


class ColoursApproved(models.Model):
    """That the client saw the samples and agreed to the colours of what is sold: on which day, `who` and how.
    `who` can be emptied, nothing else can. A row that `takes_back` another says that it was not so."""

    class How(models.TextChoices):
        SAMPLES = "samples", "after samples by post"
        STUDIO = "studio", "in the studio"
        SPACE = "space", "in the space"
        WRITING = "writing", "in writing, without samples"

    public_id = models.CharField(max_length=12, unique=True, default=new_public_id, editable=False)
    decision = models.ForeignKey(Decision, on_delete=models.PROTECT, related_name="colours")
    approved_on = models.DateField()
    who = models.CharField(max_length=200, null=True)  # noqa: DJ001 (guards empty to NULL)
    how = models.CharField(max_length=10, choices=How)
    takes_back = models.OneToOneField(
        "self", on_delete=models.PROTECT, null=True, related_name="taken_back_by"
    )
    at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")

    class Meta:
        ordering = ("pk",)
        constraints = (
            models.CheckConstraint(
                condition=Q(how__in=("samples", "studio", "space", "writing")), name="how_colours_are_known"
            ),
        )

    def __str__(self) -> str:
        return f"colours {'not ' if self.takes_back_id else ''}approved on {self.approved_on}"


class Invoice(OfAStage):
    """An invoice, or the credit note that takes one back whole: its amounts are the invoice's, negative. Both
    are numbered in one row without a gap within a year. `tax_point` is empty where tax is due at a hand-over
    that is still to come. `document` holds nothing personal, and the digest of `parties`, which is all that
    is and can be emptied; `sha256` is of the document."""

    class Kind(models.TextChoices):
        INVOICE = "invoice", "Invoice"
        CREDIT_NOTE = "credit note", "Credit note"

    year = models.PositiveIntegerField()
    sequence = models.PositiveIntegerField()
    kind = models.CharField(max_length=11, choices=Kind)
    credits = models.OneToOneField("self", on_delete=models.PROTECT, null=True, related_name="credited_by")
    net_minor = models.BigIntegerField()
    tax_minor = models.BigIntegerField()
    gross_minor = models.BigIntegerField()
    issued_on = models.DateField()
    tax_point = models.DateField(null=True)
    document = models.BinaryField()
    parties = models.BinaryField(null=True)
    sha256 = models.CharField(max_length=64)

    class Meta:
        ordering = ("year", "sequence")
        constraints = (
            models.UniqueConstraint(fields=("year", "sequence"), name="one_invoice_per_number"),
            models.CheckConstraint(
                condition=Q(gross_minor=F("net_minor") + F("tax_minor")), name="net_and_tax_make_gross"
            ),
            models.CheckConstraint(
                condition=Q(kind="invoice", credits=None, gross_minor__gte=0)
                | Q(kind="credit note", credits__isnull=False, gross_minor__lte=0),
                name="a_credit_note_names_its_invoice",
            ),
        )

    def __str__(self) -> str:
        return f"{self.kind} {self.number}"

    @property
    def number(self) -> str:
        return f"{self.year}-{self.sequence:04}"


class InvoiceTax(models.Model):
    """The part of an invoice in one tax category; `percent` as decimal text. Written before its invoice, when
    the database asks that they add up; none joins one that is there."""

    invoice = models.ForeignKey(Invoice, to_field="public_id", on_delete=models.PROTECT, related_name="taxes")
    code = models.CharField(max_length=40)
    text = models.CharField(max_length=200)
    percent = models.CharField(max_length=10)
    net_minor = models.BigIntegerField()
    tax_minor = models.BigIntegerField()

    class Meta:
        ordering = ("pk",)
        constraints = (models.UniqueConstraint(fields=("invoice", "code"), name="one_sum_per_tax_category"),)

    def __str__(self) -> str:
        return f"{self.text} {self.percent} % of {self.invoice_id}"
