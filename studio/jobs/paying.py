"""Payments: written down once, set right by a counter row, and what is open."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import Annotated, Any

from django.db import transaction
from django.db.models import QuerySet, Sum
from django.utils import timezone
from pydantic import Field

from studio.commissions.locks import locked_commission
from studio.document import document
from studio.ids import ALPHABET
from studio.jobs.agreed import Agreed, Stage, agreed_of
from studio.jobs.models import Invoice, Payment
from studio.money import minor_digits, minor_unit, to_minor
from studio.people.models import User
from studio.problem import Conflict, Overtaken, Problem, Refused, refuse_all
from studio.proposals.models import Cancellation, Decision
from studio.proposals.newest import newest_yes
from studio.voice import said

__all__ = ["ANOTHER", "Paid", "Received", "StagePaid", "counter", "paid_of", "receive"]

ANOTHER = Overtaken(
    "stage", "another option was approved meanwhile", "look at its stages, then send this once more"
)


@document
class Received:
    """What is typed of a payment. `key` is the form's own: a second payment needs another form."""

    key: Annotated[str, Field(pattern=f"^[{ALPHABET}]{{12}}$")]
    stage: int
    amount: Annotated[Decimal, Field(gt=0, lt=10**12)]
    received_on: date
    reference: Annotated[str, Field(max_length=200)] = ""


@dataclass(frozen=True, slots=True)
class StagePaid:
    """A stage as agreed, with what was received and invoiced for it, in minor units."""

    stage: Stage
    received_minor: int
    invoiced_minor: int

    @property
    def open_minor(self) -> int:
        """Negative where more was received than agreed."""
        return self.stage.gross_minor - self.received_minor


@dataclass(frozen=True, slots=True)
class Paid:
    """`before_minor` was received for what was agreed before a variation, `uncounted_minor` for that in other
    currencies, by their names: in no sum here; `owed_minor` is owed instead of the stages, where it is called
    off."""

    agreed: Agreed
    stages: tuple[StagePaid, ...]
    before_minor: int
    uncounted_minor: dict[str, int]
    owed_minor: int | None

    @property
    def agreed_minor(self) -> int:
        return sum(each.stage.gross_minor for each in self.stages)

    @property
    def received_minor(self) -> int:
        return self.before_minor + sum(each.received_minor for each in self.stages)

    @property
    def open_minor(self) -> int:
        due = self.agreed_minor if self.owed_minor is None else self.owed_minor
        return due - self.received_minor


def paid_of(yes: Decision) -> Paid:
    """What is agreed, received, invoiced and open for what a yes agreed to; the database sums."""
    agreed = agreed_of(yes)
    received = _sums(Payment.objects.filter(decision=yes), "stage", "amount_minor")
    invoiced = _sums(Invoice.objects.filter(decision=yes), "stage", "gross_minor")
    stages = tuple(
        StagePaid(stage, received.get(stage.place, 0), invoiced.get(stage.place, 0))
        for stage in agreed.stages
    )
    earlier = Payment.objects.filter(
        decision__proposal__commission=yes.proposal.commission_id, decision__lt=yes.pk
    )
    before = _sums(earlier, "currency", "amount_minor")
    counted = before.pop(yes.currency, 0)
    cancelled = Cancellation.objects.filter(decision=yes).first()
    uncounted = {currency: minor for currency, minor in before.items() if minor}
    return Paid(agreed, stages, counted, uncounted, cancelled.owed_minor if cancelled else None)


def _sums(rows: QuerySet, by: str, amount: str) -> dict[Any, int]:
    sums = rows.order_by().values(by).annotate(sum=Sum(amount))
    return dict(sums.values_list(by, "sum"))


@transaction.atomic
def receive(yes: Decision, given: Received, by: User | None, now: datetime) -> Payment:
    """Write a payment down. The same form with the same payment again writes nothing and gives what stands.

    Raises Refused for a stage, amount or day that cannot be; with an Overtaken where the form wrote another
    payment before, or another option is sold by now, whose stages are others.
    """
    sold = newest_yes(locked_commission(yes.proposal.commission_id))
    if sold is None or sold.pk != yes.pk:
        raise Refused(ANOTHER)
    yes = sold
    refuse_all(_problems(yes, given, timezone.localdate(now)))
    payment = Payment(
        public_id=given.key,
        decision=yes,
        stage=given.stage,
        amount_minor=to_minor(given.amount, yes.currency),
        currency=yes.currency,
        received_on=given.received_on,
        reference=given.reference or None,
        at=now,
        by=by,
    )
    known = Payment.objects.filter(public_id=given.key).first()
    if known is None:
        payment.save(force_insert=True)
    elif _content(known) != _content(payment):
        reason = said("this form has written down {} already", known.in_words)
        raise Conflict.because("amount", reason, "send it once more if this is another payment")
    return known or payment


def _problems(yes: Decision, given: Received, today: date) -> Iterator[Problem]:
    agreed = agreed_of(yes)
    if not agreed.stage(given.stage):
        remedy = f"choose one of 1 to {len(agreed.stages)}"
        yield Problem("stage", f"there is no stage {given.stage}", remedy)
    if given.amount % minor_unit(yes.currency):
        reason = f"{given.amount} is finer than the smallest amount of {yes.currency}"
        yield Problem("amount", reason, f"give at most {minor_digits(yes.currency)} decimals")
    if not agreed.issued_on <= given.received_on <= today:
        reason = "this day is not between the proposal and today"
        yield Problem("received_on", reason, "give the day on which the money came")


def _content(payment: Payment) -> tuple[object, ...]:
    return (
        payment.decision_id, payment.stage, payment.amount_minor, payment.received_on, payment.reference
    )  # fmt: skip


@transaction.atomic
def counter(payment: Payment, by: User | None, now: datetime) -> Payment:
    """Take a wrong payment back, by a row of the opposite amount; the second time, the row that stands.
    Raises Refused for a row that takes back another itself."""
    locked_commission(payment.decision.proposal.commission_id)
    if payment.counters_id:
        raise Refused.because(
            "payment", "this row takes back a payment itself", "write the payment down anew"
        )
    known = Payment.objects.filter(counters=payment).first()
    return known or Payment.objects.create(
        decision=payment.decision,
        stage=payment.stage,
        amount_minor=-payment.amount_minor,
        currency=payment.currency,
        received_on=payment.received_on,
        counters=payment,
        at=now,
        by=by,
    )
