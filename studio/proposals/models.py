"""What was sent and what was said to it: proposals, their frozen issues, links and decisions, and what
followed a yes. What clients wrote by their links are entries of the commission.

Rows are guarded in the database (migrations): what an issue holds never changes and is never deleted; only
what is personal in it can be emptied, when a person is erased.
"""

import secrets
from decimal import Decimal

from django.conf import settings
from django.db import models
from django.db.models import Q

from studio.clients.models import Client
from studio.commissions.models import LETTERS, Commission
from studio.ids import new_public_id
from studio.money import from_minor
from studio.voice import Voice

__all__ = [
    "Appointment", "Cancellation", "Decision", "IssuedOption", "Letter", "Link", "Proposal", "ProposalIssue",
    "Release", "Taping",
]  # fmt: skip


def new_token() -> str:
    """192 bits: who knows it may read the issue and decide, so it must not be guessed."""
    return secrets.token_urlsafe(24)


class Proposal(models.Model):
    """What leads to one yes: the first of a commission is at `place` 1, and each variation of what was sold
    is at the next one, begun `by` somebody. Numbers run without a gap within a year."""

    commission = models.ForeignKey(Commission, on_delete=models.PROTECT, related_name="proposals")
    place = models.PositiveSmallIntegerField(default=1)
    year = models.PositiveIntegerField()
    sequence = models.PositiveIntegerField()
    created_at = models.DateTimeField(auto_now_add=True)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")

    class Meta:
        ordering = ("-year", "-sequence")
        constraints = (
            models.UniqueConstraint(fields=("year", "sequence"), name="one_proposal_per_number"),
            models.UniqueConstraint(fields=("commission", "place"), name="one_proposal_per_place"),
            models.CheckConstraint(condition=Q(place__gte=1), name="places_count_from_one"),
        )

    def __str__(self) -> str:
        return self.number

    @property
    def number(self) -> str:
        return f"{self.year}-{self.sequence:04}"


class ProposalIssue(models.Model):
    """One issue: the documents as bytes, as they were sent. `figures` holds nothing personal and nothing that
    a client may not know; `parties` and `pdf` do, and go when `client`, whom it was made for, is erased.
    `drawings` (SVG texts), `making` (for the workshop) and `costs` (for the studio alone) are zlib-compressed
    JSON by letter; their digests are within `figures`, so the seal covers them. Issues of schema 1 have
    neither of the last two."""

    class State(models.TextChoices):
        ISSUED = "issued", "Issued"
        SUPERSEDED = "superseded", "Replaced by a later issue"
        WITHDRAWN = "withdrawn", "Withdrawn"

    public_id = models.CharField(max_length=12, unique=True, default=new_public_id, editable=False)
    proposal = models.ForeignKey(Proposal, on_delete=models.PROTECT, related_name="issues")
    client = models.ForeignKey(Client, on_delete=models.PROTECT, related_name="issues")
    number = models.PositiveIntegerField()
    figures = models.BinaryField()
    parties = models.BinaryField(null=True)
    drawings = models.BinaryField()
    making = models.BinaryField(null=True)
    costs = models.BinaryField(null=True)
    pdf = models.BinaryField(null=True)
    figures_sha256 = models.CharField(max_length=64)
    parties_sha256 = models.CharField(max_length=64)
    pdf_sha256 = models.CharField(max_length=64)
    seal = models.CharField(max_length=64)
    schema = models.PositiveIntegerField()
    engine = models.CharField(max_length=40)
    issued_at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")
    valid_until = models.DateField()
    state = models.CharField(max_length=10, choices=State, default=State.ISSUED)

    class Meta:
        ordering = ("-number",)
        constraints = (
            models.UniqueConstraint(fields=("proposal", "number"), name="one_issue_per_number"),
            models.UniqueConstraint(
                fields=("proposal",), condition=Q(state="issued"), name="one_issue_stands_at_a_time"
            ),
            models.CheckConstraint(
                condition=Q(state__in=("issued", "superseded", "withdrawn")), name="issue_state_known"
            ),
        )

    def __str__(self) -> str:
        return f"{self.proposal.number} issue {self.number}"


class IssuedOption(models.Model):
    """An option of an issue with the price that its figures say: a yes that names another one is refused by
    the database. Written with its issue, before the link; never changed."""

    issue = models.ForeignKey(ProposalIssue, on_delete=models.PROTECT, related_name="offered")
    letter = models.CharField(max_length=1)
    currency = models.CharField(max_length=3)
    gross_minor = models.BigIntegerField()

    class Meta:
        ordering = ("letter",)
        constraints = (
            models.UniqueConstraint(fields=("issue", "letter"), name="one_issued_option_per_letter"),
            models.CheckConstraint(condition=Q(letter__in=LETTERS), name="issued_letter_known"),
        )

    def __str__(self) -> str:
        return f"option {self.letter} of {self.issue}"


class Link(models.Model):
    """An address that shows one issue to its client."""

    issue = models.ForeignKey(ProposalIssue, on_delete=models.PROTECT, related_name="links")
    token = models.CharField(max_length=64, unique=True, default=new_token, editable=False)
    created_at = models.DateTimeField(auto_now_add=True)
    revoked_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ("-pk",)

    def __str__(self) -> str:
        return f"link {self.pk} to {self.issue}"


class Letter(models.Model):
    """That somebody was written to by a link; to whom, when, and whether it left, the outbox says."""

    link = models.ForeignKey(Link, on_delete=models.PROTECT, related_name="letters")
    outbox = models.OneToOneField("letters.Letter", on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ("pk",)

    def __str__(self) -> str:
        return f"letter {self.pk} by {self.link}"


class Decision(models.Model):
    """The client's yes to one option, or no: one per issue, one yes per proposal, never changed. `agreed_on`
    is the day of being ready that was shown and agreed, none where none could be named; `agreed_days` are the
    working days from cleared deposit and approved colours that stood with it. Yeses from before these were
    written down have neither, or only the day. `person` holds what is personal (who, authority, reason,
    evidence) and can be emptied, nothing else can."""

    class Answer(models.TextChoices):
        APPROVED = "approved", "Approved"
        DECLINED = "declined", "Declined"

    class How(models.TextChoices):
        PAGE = "page", "on the proposal's page"
        TELEPHONE = "telephone", "by telephone"
        WRITING = "writing", "in writing"

    issue = models.OneToOneField(ProposalIssue, on_delete=models.PROTECT, related_name="decision")
    proposal = models.ForeignKey(Proposal, on_delete=models.PROTECT, related_name="decisions")
    answer = models.CharField(max_length=10, choices=Answer)
    letter = models.CharField(max_length=1, blank=True)
    currency = models.CharField(max_length=3, blank=True)
    gross_minor = models.BigIntegerField(null=True)
    agreed_on = models.DateField(null=True)
    agreed_days = models.PositiveIntegerField(null=True)
    how = models.CharField(max_length=10, choices=How)
    seal = models.CharField("seal seen", max_length=64)
    said_on = models.DateField()
    at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")
    person = models.JSONField(null=True)

    class Meta:
        constraints = (
            models.UniqueConstraint(
                fields=("proposal",), condition=Q(answer="approved"), name="one_yes_per_proposal"
            ),
            models.CheckConstraint(
                condition=Q(answer="approved", letter__in=LETTERS, gross_minor__isnull=False)
                | Q(answer="declined", letter="", gross_minor__isnull=True),
                name="a_yes_names_its_option_and_price",
            ),
            models.CheckConstraint(condition=Q(how__in=("page", "telephone", "writing")), name="how_known"),
        )

    def __str__(self) -> str:
        return f"{self.issue}: {self.answer} {self.letter}".rstrip()

    @property
    def gross(self) -> Decimal | None:
        return None if self.sold_minor is None else from_minor(self.sold_minor, self.currency)

    @property
    def sold_minor(self) -> int | None:
        """What is paid for it: the price that was agreed, or that of the panel that took its place."""
        taping = getattr(self, "taping", None)
        return self.gross_minor if taping is None or taping.gross_minor is None else taping.gross_minor

    @property
    def who(self) -> str:
        return self.person["who"] if self.person else "a person since erased"


class Cancellation(models.Model):
    """What was sold is not made after all: one per yes, never changed. `owed_minor` is what the client pays
    for what was done. `who` called it off and `why` can be emptied, when the person is erased."""

    decision = models.OneToOneField(Decision, on_delete=models.PROTECT, related_name="cancellation")
    who = models.CharField(max_length=200, null=True)  # noqa: DJ001 (guards empty to NULL)
    why = models.TextField(max_length=2000, null=True)  # noqa: DJ001 (guards empty to NULL)
    owed_minor = models.BigIntegerField()
    currency = models.CharField(max_length=3)
    at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")

    class Meta:
        constraints = (models.CheckConstraint(condition=Q(owed_minor__gte=0), name="nothing_less_is_owed"),)

    def __str__(self) -> str:
        return f"cancellation of {self.decision}"


class Release(models.Model):
    """What was sold goes to the workshop, to be ready on `final_on`: one per yes, never changed."""

    decision = models.OneToOneField(Decision, on_delete=models.PROTECT, related_name="release")
    final_on = models.DateField()
    at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")

    def __str__(self) -> str:
        return f"release of {self.decision}"


class Appointment(models.Model):
    """A day that was agreed with the client of what is sold, for bringing or for hanging it: counted by
    `sequence` for each of the two within a commission, and the last one stands. One without a day says that
    the one before is off. `whom` it was agreed with and the note can be emptied, nothing else can."""

    class What(models.TextChoices):
        DELIVERY = "delivery", "Delivery"
        HANGING = "hanging", "Hanging"

    decision = models.ForeignKey(Decision, on_delete=models.PROTECT, related_name="appointments")
    what = models.CharField(max_length=10, choices=What)
    sequence = models.PositiveSmallIntegerField()
    day = models.DateField(null=True)
    from_time = models.TimeField(null=True)
    whom = models.CharField(max_length=200, null=True)  # noqa: DJ001 (guards empty to NULL)
    note = models.TextField(max_length=2000, null=True)  # noqa: DJ001 (guards empty to NULL)
    at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")

    class Meta:
        ordering = ("pk",)
        constraints = (
            models.UniqueConstraint(
                fields=("decision", "what", "sequence"), name="one_appointment_at_a_time"
            ),
            models.CheckConstraint(condition=Q(what__in=("delivery", "hanging")), name="visit_known"),
            models.CheckConstraint(
                condition=Q(day__isnull=False) | Q(from_time=None), name="no_time_without_a_day"
            ),
        )

    def __str__(self) -> str:
        return f"{self.what} {self.sequence}: {self.day or 'off'}"

    def in_words(self, voice: Voice) -> str:
        """Such as "Hanging on 10 December 2026 from 09:30"; of one that stands."""
        day = voice.day(self.day) if self.day else "no day"
        time = f" from {self.from_time:%H:%M}" if self.from_time else ""
        return f"{self.get_what_display()} on {day}{time}"


class Taping(models.Model):
    """What we taped of a space after a yes, before the work is released: one per yes, never changed. `space`
    is a studio.lattice.design.Space as JSON. Where another panel fits than was agreed, at a price within the
    range that was agreed, `figures` and `making` (proposals/refit.py) are of this one, to which the client
    said yes `how` and on `said_on`; `who` it was can be emptied, when the person is erased. All of these are
    empty where the panel is the one that was agreed."""

    class How(models.TextChoices):
        TELEPHONE = "telephone", "by telephone"
        WRITING = "writing", "in writing"
        PLACE = "on the spot", "on the spot"

    decision = models.OneToOneField(Decision, on_delete=models.PROTECT, related_name="taping")
    space = models.JSONField()
    taped_on = models.DateField()
    figures = models.BinaryField(null=True)
    figures_sha256 = models.CharField(max_length=64, blank=True)
    making = models.BinaryField(null=True)
    gross_minor = models.BigIntegerField(null=True)
    who = models.CharField(max_length=200, null=True)  # noqa: DJ001 (guards empty to NULL)
    how = models.CharField(max_length=11, choices=How, blank=True)
    said_on = models.DateField(null=True)
    at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")

    class Meta:
        constraints = (
            models.CheckConstraint(
                condition=Q(figures=None, making=None, gross_minor=None, said_on=None, how="")
                | Q(
                    figures__isnull=False,
                    making__isnull=False,
                    gross_minor__isnull=False,
                    said_on__isnull=False,
                    how__in=("telephone", "writing", "on the spot"),
                ),
                name="another_panel_has_the_clients_word",
            ),
        )

    def __str__(self) -> str:
        return f"taping for {self.decision}"
