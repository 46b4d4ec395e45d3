"""Invoices and credit notes: numbered without a gap, their figures those that were agreed, kept as bytes."""

import json
import secrets
from dataclasses import replace
from datetime import date, datetime
from decimal import Decimal
from hashlib import sha256
from typing import Any

from django.db import transaction
from django.db.models import Max, QuerySet
from django.utils import timezone

from studio.clients.models import Client
from studio.commissions.locks import locked_commission
from studio.document import canonical
from studio.ids import new_public_id
from studio.jobs.agreed import Stage, Taxed, agreed_of
from studio.jobs.models import Invoice, InvoiceTax
from studio.money import from_minor, to_minor
from studio.people.models import User
from studio.problem import Refused
from studio.proposals.models import Decision
from studio.proposals.newest import newest_yes
from studio.proposals.stored import Damaged
from studio.voice import said
from studio.workshop.books import locked_studio
from studio.workshop.models import Studio

__all__ = ["credit", "document_of", "invoice"]

SCHEMA = 1
ROW = ("code", "text", "percent", "net_minor", "tax_minor")
"""What a row keeps of a tax; the parts of several, and why there is none, stand in the document."""
WHY = {"treatment": "taxed", "reason": ""}
"""As an ordinary tax has them, of which a document says nothing."""


@transaction.atomic
def invoice(
    yes: Decision, place: int, by: User | None, now: datetime, *, tax_point: date | None = None
) -> Invoice:
    """The next invoice of the year, for the stage at `place` (from 1) of what a yes agreed to.

    `tax_point` is the day on which its tax is due; None while that is the day of a hand-over to come. Raises
    Refused for what is called off or not sold any more; for a stage that there is not, whose taxes are not
    told apart, or that is invoiced already; where an invoice stands for what was agreed before; for a tax
    point that is missing; for a client who is erased.
    """
    locked_commission(yes.proposal.commission_id)
    _refuse_unsold(yes)
    agreed = agreed_of(yes)
    stage = agreed.stage(place)
    if stage is None or not stage.taxes:
        raise Refused.because(
            "stage", f"no taxes are frozen for a stage {place}", "choose a stage of the approved option"
        )
    if Invoice.objects.filter(decision=yes, stage=place, kind="invoice", credited_by=None).exists():
        raise Refused.because("stage", "this stage is invoiced already", "credit that invoice first")
    for each in _standing(yes):
        now_agreed = agreed.stage(each.stage)
        if each.decision_id != yes.pk or now_agreed is None or each.gross_minor != now_agreed.gross_minor:
            reason = f"invoice {each.number} is for what was agreed before"
            raise Refused.because("stage", reason, "credit that invoice first")
    if tax_point is None and agreed.deposit_is_tax_point:
        raise Refused.because("tax_point", "tax is due with each payment", "give the day on which it is due")
    if _client(yes).erased_at:
        raise Refused.because("client", "this person's data were erased", "an invoice needs a name")
    return _write(Invoice(decision=yes, kind="invoice", tax_point=tax_point), stage, by, now)


@transaction.atomic
def credit(wrong: Invoice, by: User | None, now: datetime) -> Invoice:
    """The credit note that takes an invoice back whole, with the same tax point; the second time, the one
    that stands. Raises Refused for a credit note, Damaged for an invoice that has changed."""
    locked_commission(wrong.decision.proposal.commission_id)
    if wrong.kind != Invoice.Kind.INVOICE:
        raise Refused.because("invoice", f"{wrong} takes back an invoice itself", "make a new invoice")
    known = Invoice.objects.filter(credits=wrong).first()
    if known:
        return known
    note = Invoice(decision=wrong.decision, kind="credit note", credits=wrong, tax_point=wrong.tax_point)
    return _write(note, _opposite(_as_invoiced(wrong)), by, now)


def document_of(found: Invoice) -> bytes:
    """Canonical JSON, as it was written. Raises Damaged when it is not that any more."""
    document = bytes(found.document)
    if sha256(document).hexdigest() != found.sha256:
        raise Damaged(f"the stored document of {found} has changed")
    return document


def _refuse_unsold(yes: Decision) -> None:
    if hasattr(yes, "cancellation"):
        told = "this is called off: {} is owed instead of its payments"
        owed = yes.cancellation.owed_minor
        reason = said(told, lambda voice: voice.using(yes.currency).minor(owed))
        raise Refused.because("stage", reason, "credit what was invoiced")
    if newest_yes(yes.proposal.commission) != yes:
        raise Refused.because("stage", "another option was approved since then", "invoice that one")


def _standing(yes: Decision) -> QuerySet[Invoice]:
    """The invoices that stand for whatever was sold of the commission."""
    of_the_commission = Invoice.objects.filter(decision__proposal__commission=yes.proposal.commission_id)
    return of_the_commission.filter(kind=Invoice.Kind.INVOICE, credited_by=None)


def _as_invoiced(found: Invoice) -> Stage:
    """What the invoice itself says: what is agreed may be another panel by now."""
    told = json.loads(document_of(found))
    more = {tax["code"]: _beside_row(tax, found.currency) for tax in told["taxes"]}
    taxes = tuple(Taxed(**row, **more.get(row["code"], {})) for row in found.taxes.values(*ROW))
    return Stage(found.stage, told["stage"], found.net_minor, found.tax_minor, found.gross_minor, taxes)


def _beside_row(tax: dict[str, Any], currency: str) -> dict[str, Any]:
    parts = (
        (part["text"], part["percent"], to_minor(Decimal(part["tax"]), currency))
        for part in tax.get("parts", ())
    )
    return {"parts": tuple(parts), **{name: tax[name] for name in WHY if name in tax}}


def _opposite(stage: Stage) -> Stage:
    taxes = tuple(tax.opposite() for tax in stage.taxes)
    return replace(
        stage,
        net_minor=-stage.net_minor,
        tax_minor=-stage.tax_minor,
        gross_minor=-stage.gross_minor,
        taxes=taxes,
    )


def _write(row: Invoice, stage: Stage, by: User | None, now: datetime) -> Invoice:
    studio = locked_studio()  # all that take a number wait here, of whatever commission
    row.issued_on = timezone.localdate(now)
    row.year, row.sequence = row.issued_on.year, _next_sequence(row.issued_on.year)
    row.public_id, row.stage, row.currency = new_public_id(), stage.place, row.decision.currency
    row.net_minor, row.tax_minor, row.gross_minor = stage.net_minor, stage.tax_minor, stage.gross_minor
    row.at, row.by = now, by
    row.parties = _parties(_client(row.decision), studio)
    row.document = canonical(_document(row, stage))
    row.sha256 = sha256(row.document).hexdigest()
    InvoiceTax.objects.bulk_create(
        InvoiceTax(invoice_id=row.public_id, **{name: getattr(tax, name) for name in ROW})
        for tax in stage.taxes
    )
    row.save(force_insert=True)
    return row


def _next_sequence(year: int) -> int:
    return (Invoice.objects.filter(year=year).aggregate(last=Max("sequence"))["last"] or 0) + 1


def _client(yes: Decision) -> Client:
    """As they are now: somebody may have erased them meanwhile."""
    return Client.objects.get(issues__decision=yes)


def _parties(client: Client, studio: Studio) -> bytes | None:
    """From whom and to whom, with a salt, so that nobody guesses them by their digest."""
    if client.erased_at:
        return None
    fields = ("name", "address", "email", "phone")
    parties = {
        name: {field: getattr(of, field) for field in fields}
        for name, of in (("studio", studio), ("client", client))
    }
    parties["client"]["tax_number"] = client.tax_number
    return canonical({**parties, "salt": secrets.token_hex(16)})


def _document(row: Invoice, stage: Stage) -> dict[str, Any]:
    """Amounts as text in the major unit; a credit note's are negative, as its row's are."""
    yes = row.decision
    sums = {"net": row.net_minor, "tax": row.tax_minor, "gross": row.gross_minor}
    return {
        "schema": SCHEMA,
        "number": row.number,
        "kind": row.kind,
        "credits": row.credits.number if row.credits else None,
        "issued_on": row.issued_on.isoformat(),
        "tax_point": row.tax_point.isoformat() if row.tax_point else None,
        "proposal": yes.proposal.number,
        "option": yes.letter,
        "seal": yes.seal,
        "stage": stage.text,
        "currency": row.currency,
        **{name: _amount(minor, row) for name, minor in sums.items()},
        "taxes": [_tax(tax, row) for tax in stage.taxes],
        "parties_sha256": sha256(row.parties).hexdigest() if row.parties else None,
    }


def _tax(tax: Taxed, row: Invoice) -> dict[str, Any]:
    """With each of several taxes on one base, where there are any, and why there is none: documents must say
    that (`proposals.tax_shown.reasons`)."""
    told = {"code": tax.code, "text": tax.text, "percent": tax.percent}
    told |= {"net": _amount(tax.net_minor, row), "tax": _amount(tax.tax_minor, row)}
    parts = [
        {"text": text, "percent": percent, "tax": _amount(minor, row)} for text, percent, minor in tax.parts
    ]
    why = {name: getattr(tax, name) for name, usual in WHY.items() if getattr(tax, name) != usual}
    return {**told, **why, "parts": parts} if parts else {**told, **why}


def _amount(minor: int, row: Invoice) -> str:
    return str(from_minor(minor, row.currency))
