"""Commissions and their options A to D."""

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils import timezone

from studio.clients.models import Client, Space
from studio.ids import new_public_id
from studio.people.touched import Touched
from studio.workshop.models import RateBookRevision

__all__ = ["LETTERS", "Commission", "Entry", "KnownRange", "Option", "OptionChange"]

LETTERS = ("A", "B", "C", "D")


class Commission(Touched):
    """One piece of work for a client in a space, from enquiry to hand-over. The client may be unknown at
    first. `terms` is a studio.pricing.terms.Terms as JSON. `approved_letter` is written with the decision.
    `before_variation` is there while a variation of what was sold is open: what its options, terms and space
    were (stored/before.py). `due_on` is the day by which what is sold is to be ready: what was agreed, then
    the final day, written with them; it never moves by itself. `wanted_on` is the day by which the client
    asks for it."""

    class Stage(models.TextChoices):
        ENQUIRY = "enquiry", "Enquiry"
        PROPOSED = "proposed", "Proposal sent"
        APPROVED = "approved", "Approved"
        MAKING = "making", "In the workshop"
        HANDED_OVER = "handed over", "Handed over"
        DECLINED = "declined", "Declined"
        CANCELLED = "cancelled", "Cancelled"

    public_id = models.CharField(max_length=12, unique=True, default=new_public_id, editable=False)
    title = models.CharField(max_length=200, default="New commission")
    client = models.ForeignKey(
        Client, on_delete=models.PROTECT, null=True, blank=True, related_name="commissions"
    )
    space = models.ForeignKey(Space, on_delete=models.PROTECT, related_name="commissions")
    stage = models.CharField(max_length=12, choices=Stage, default=Stage.ENQUIRY)
    approved_letter = models.CharField(max_length=1, blank=True, editable=False)
    terms = models.JSONField()
    before_variation = models.JSONField(null=True, editable=False)
    due_on = models.DateField(null=True, editable=False)
    wanted_on = models.DateField(null=True, blank=True)
    next_step = models.CharField(max_length=200, blank=True)
    next_step_on = models.DateField(null=True, blank=True)
    created_at = models.DateTimeField(auto_now_add=True)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")

    class Meta:
        ordering = ("-pk",)
        constraints = (
            models.CheckConstraint(
                condition=Q(
                    stage__in=(
                        "enquiry",
                        "proposed",
                        "approved",
                        "making",
                        "handed over",
                        "declined",
                        "cancelled",
                    )
                ),
                name="commission_stage_known",
            ),
        )

    def __str__(self) -> str:
        return self.title


class Entry(models.Model):
    """One thing that was said or done, with who wrote it down and when. Never changed, never deleted; `text`
    and its `salt` can be emptied, when its client is erased, and nothing else with them: the digests keep the
    order (studio/chain.py). `about` is for the apps above, which alone understand it. What is `carried_over`
    was written down before there were entries: its day and its writer are those of the commission."""

    class Kind(models.TextChoices):
        NOTE = "note", "note"
        FROM_CLIENT = "from the client", "from the client"
        TO_CLIENT = "to the client", "to the client"
        EVENT = "event", "event"

    commission = models.ForeignKey(Commission, on_delete=models.PROTECT, related_name="entries")
    sequence = models.PositiveIntegerField()
    kind = models.CharField(max_length=15, choices=Kind, default=Kind.NOTE)
    about = models.CharField(max_length=60, blank=True)
    at = models.DateTimeField(default=timezone.now, editable=False)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")
    text = models.TextField(max_length=20_000, null=True)  # noqa: DJ001 (guards empty to NULL)
    salt = models.CharField(max_length=32, null=True)  # noqa: DJ001
    text_sha256 = models.CharField(max_length=64, blank=True)
    chain_sha256 = models.CharField(max_length=64)
    carried_over = models.BooleanField(default=False, editable=False)

    class Meta:
        ordering = ("commission_id", "sequence")
        constraints = (
            models.UniqueConstraint(fields=("commission", "sequence"), name="one_entry_per_sequence"),
            models.CheckConstraint(
                condition=Q(kind__in=("note", "from the client", "to the client", "event")),
                name="entry_kind_known",
            ),
            models.CheckConstraint(
                condition=Q(text=None, salt=None) | Q(text__isnull=False, salt__isnull=False),
                name="a_text_goes_with_its_salt",
            ),
        )

    def __str__(self) -> str:
        return f"entry {self.sequence} of {self.commission}"


class NotRemoved(models.Manager["Option"]):
    """The options that are not removed; `commission.options` are these too."""

    def get_queryset(self) -> models.QuerySet["Option"]:
        return super().get_queryset().filter(removed_at=None)


class Option(models.Model):
    """One alternative design. `revision` counts changes: a change made against an older revision is refused
    (409). A removed option keeps its row, so that it can come back; its letter is free for another one. The
    money columns are the last estimate's, in minor units, so that lists can show and sum them without
    estimating; they are None while the design cannot be priced."""

    commission = models.ForeignKey(Commission, on_delete=models.CASCADE, related_name="options")
    letter = models.CharField(max_length=1, choices=[(letter, letter) for letter in LETTERS])
    revision = models.PositiveIntegerField(default=1)
    design = models.JSONField()
    rate_book = models.ForeignKey(RateBookRevision, on_delete=models.PROTECT, related_name="+")
    currency = models.CharField(max_length=3)
    net_minor = models.BigIntegerField(null=True)
    gross_minor = models.BigIntegerField(null=True)
    ready_on = models.DateField(null=True)
    digest = models.CharField(max_length=64, blank=True)
    removed_at = models.DateTimeField(null=True, editable=False)

    objects = NotRemoved()
    every = models.Manager["Option"]()

    class Meta:
        ordering = ("letter",)
        constraints = (
            models.UniqueConstraint(
                fields=("commission", "letter"),
                condition=Q(removed_at=None),
                name="one_standing_option_per_letter",
            ),
            models.CheckConstraint(condition=Q(letter__in=("A", "B", "C", "D")), name="option_letter_known"),
        )

    def __str__(self) -> str:
        return f"{self.commission} {self.letter}"


class OptionChange(models.Model):
    """What an option's design was after each change, the first included: undo and history. A change that
    undoes says in `back_to` which sequence it went back to. Never changed, never deleted."""

    option = models.ForeignKey(Option, on_delete=models.PROTECT, related_name="changes")
    sequence = models.PositiveIntegerField()
    back_to = models.PositiveIntegerField(null=True)
    design = models.JSONField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")
    at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ("sequence",)
        constraints = (
            models.UniqueConstraint(fields=("option", "sequence"), name="one_change_per_sequence"),
        )

    def __str__(self) -> str:
        return f"{self.option} change {self.sequence}"


class KnownRange(models.Model):
    """What is known so far of a range (studio.estimate.result.PriceRange as JSON, None before the first
    price), by the digest of all that it depends on. It can be worked out again: rows that nobody asked for in
    a while go."""

    digest = models.CharField(max_length=64, unique=True)
    document = models.JSONField(null=True)
    priced = models.PositiveIntegerField(default=0)
    asked_on = models.DateField(db_index=True)

    def __str__(self) -> str:
        return f"range {self.digest[:12]}"
