"""What was written down of money stays, and the database refuses what does not add up."""

from datetime import timedelta
from importlib import import_module

import pytest
from django.db import IntegrityError, transaction
from django.utils import timezone

from studio.ids import new_public_id
from studio.jobs.invoicing import credit, invoice
from studio.jobs.models import Invoice, InvoiceTax, Payment
from studio.jobs.paying import receive
from studio.proposals.deciding import decide
from studio.proposals.issuing import issue_proposal
from studio.proposals.models import Decision
from studio.proposals.standing import Reply
from studio.workshop.clock import today
from tests.jobs.conftest import typed
from tests.proposals.conftest import add_option, make_commission, small_design


@pytest.fixture
def payment(yes, owner):
    return receive(yes, typed("600", reference="Adeyemi"), owner, timezone.now())


@pytest.fixture
def invoiced(yes, owner):
    return invoice(yes, 1, owner, timezone.now(), tax_point=today())


def refused(rule, act):
    """By the database, which names the rule where a trigger holds it."""
    with pytest.raises(IntegrityError, match=rule), transaction.atomic():
        act()


def copied(row, **changed):
    """Another row with the same values but some, as plain SQL would add it."""
    values = {field.attname: getattr(row, field.attname) for field in row._meta.concrete_fields}
    values |= {"id": None, "public_id": new_public_id()} | changed
    return type(row)(**values)


@pytest.mark.parametrize("model", [Payment, Invoice, InvoiceTax])
def test_no_row_can_be_deleted(payment, invoiced, model):
    refused("keeps its rows|append-only", lambda: model.objects.all()._raw_delete("default"))


@pytest.mark.parametrize(
    ("model", "change"),
    [
        (Payment, {"amount_minor": 1}),
        (Payment, {"stage": 2}),
        (Payment, {"currency": "EUR"}),
        (Payment, {"received_on": today() - timedelta(days=9)}),
        (Payment, {"public_id": "another-one"}),
        (Payment, {"reference": "another"}),
        (Payment, {"at": timezone.now()}),
        (Payment, {"by": None}),
        (Invoice, {"sequence": 2}),
        (Invoice, {"year": 1999}),
        (Invoice, {"stage": 2}),
        (Invoice, {"net_minor": 1, "gross_minor": 1, "tax_minor": 0}),
        (Invoice, {"issued_on": today() - timedelta(days=9)}),
        (Invoice, {"tax_point": None}),
        (Invoice, {"document": b"{}"}),
        (Invoice, {"parties": b"{}"}),
        (Invoice, {"sha256": "0" * 64}),
        (InvoiceTax, {"net_minor": 1}),
        (InvoiceTax, {"percent": "19"}),
    ],
)
def test_what_was_written_stays(payment, invoiced, model, change):
    refused("keeps|append-only", lambda: model.objects.update(**change))


def test_every_column_is_guarded():
    """What the guard does not name could be changed."""
    guards = import_module("studio.jobs.migrations.0001_initial")
    for model, frozen, emptied in (
        (Payment, guards.PAYMENT, "reference"),
        (Invoice, guards.INVOICE, "parties"),
    ):
        assert {*frozen, emptied} == {field.column for field in model._meta.concrete_fields}


def test_only_what_is_personal_can_be_emptied(payment, invoiced):
    assert Payment.objects.update(reference=None) == 1
    assert Invoice.objects.update(parties=None) == 1
    refused("keeps", lambda: Payment.objects.update(reference="put back"))


@pytest.mark.parametrize("wrong", [{"currency": "EUR"}, {"currency": ""}])
def test_the_currency_is_the_yes_s(payment, invoiced, wrong):
    refused("is for a yes, in its currency", copied(payment, **wrong).save)
    refused_invoice("is for a yes, in its currency", copied(invoiced, sequence=2, stage=2, **wrong), invoiced)


def test_a_no_is_not_paid(payment, invoiced, ms_adeyemi, owner):
    other = make_commission(ms_adeyemi)
    add_option(other, "A", small_design())
    issue = issue_proposal(other, ("A",), owner, timezone.now())
    no = decide(issue, Reply("declined", "", "", "", "telephone", issue.seal, today()), timezone.now())
    assert Decision.objects.count() == 2
    refused("is for a yes", copied(payment, decision_id=no.pk).save)
    refused("is for a yes", copied(payment, decision_id=no.pk, currency="").save)


def test_nothing_and_less_are_no_payment(payment):
    for amount_minor in (0, -60000):
        refused("only_a_counter_row_takes_away", copied(payment, amount_minor=amount_minor).save)


@pytest.mark.parametrize("wrong", [{"amount_minor": -59999}, {"stage": 2}, {"counters_id": 0}])
def test_a_counter_row_is_the_opposite_of_what_it_names(payment, wrong):
    right = {"counters_id": payment.pk, "amount_minor": -60000}
    refused("takes back a payment whole", copied(payment, **(right | wrong)).save)
    row = copied(payment, **right)
    row.save()
    again = {"counters_id": row.pk, "amount_minor": 60000}
    refused("only_a_counter_row_takes_away", copied(payment, **again).save)
    refused("counters_id|keeps", copied(payment, **right).save)


def test_a_key_is_used_once(payment):
    refused("public_id|keeps", copied(payment, public_id=payment.public_id).save)


def taxes_of(row, like, **changed):
    """The taxes of a row to come, as those of another one."""
    for tax in like.taxes.all():
        values = {name: getattr(tax, name) for name in ("code", "text", "percent", "net_minor", "tax_minor")}
        InvoiceTax.objects.create(invoice_id=row.public_id, **(values | changed))


def refused_invoice(rule, row, like, **changed):
    """With the taxes of another one, some changed; they do not stay without it."""
    with transaction.atomic():
        taxes_of(row, like, **changed)
        refused(rule, row.save)
        transaction.set_rollback(True)


@pytest.mark.parametrize("sequence", [1, 3, 0])
def test_a_number_that_is_not_the_next_is_refused(invoiced, sequence):
    another = copied(invoiced, sequence=sequence, stage=2)
    refused_invoice("has the next number of its year|year|keeps", another, invoiced)


def test_an_invoice_is_the_sum_of_its_taxes(invoiced):
    refused("is the sum of its taxes", copied(invoiced, sequence=2, stage=2).save)
    wrong = copied(invoiced, sequence=2, stage=2)
    refused_invoice("is the sum of its taxes", wrong, invoiced, tax_minor=invoiced.tax_minor + 1)
    right = copied(invoiced, sequence=2, stage=2)
    taxes_of(right, invoiced)
    right.save()
    late = InvoiceTax(invoice=right, code="late", text="Late", percent="5", net_minor=0, tax_minor=0)
    refused("is complete once its invoice is there", late.save)


def test_net_and_tax_make_gross(invoiced):
    wrong = copied(invoiced, sequence=2, stage=2, gross_minor=invoiced.gross_minor + 1)
    refused_invoice("net_and_tax_make_gross", wrong, invoiced)


def test_one_invoice_stands_for_a_stage(invoiced, owner):
    refused_invoice("is the only one that stands", copied(invoiced, sequence=2), invoiced)


@pytest.mark.parametrize(
    ("wrong", "rule"),
    [
        ({"stage": 2}, "takes back an invoice whole"),
        ({"credits_id": 0}, "takes back an invoice whole"),
        ({"credits_id": None}, "a_credit_note_names_its_invoice"),
        ({"kind": "invoice"}, "a_credit_note_names_its_invoice|is the only one"),
        ({"kind": "reminder"}, "a_credit_note_names_its_invoice"),
    ],
)
def test_a_credit_note_is_the_opposite_of_what_it_names(invoiced, wrong, rule):
    sums = {name: -getattr(invoiced, name) for name in ("net_minor", "tax_minor", "gross_minor")}
    note = {"sequence": 2, "kind": "credit note", "credits_id": invoiced.pk} | sums
    taxes = {name: sums[name] for name in ("net_minor", "tax_minor")}
    refused_invoice(rule, copied(invoiced, **(note | wrong)), invoiced, **taxes)
    right = copied(invoiced, **note)
    taxes_of(right, invoiced, **taxes)
    right.save()


def test_a_credit_note_takes_back_no_less(invoiced):
    less = {"net_minor": -1, "tax_minor": 0, "gross_minor": -1}
    note = copied(invoiced, sequence=2, kind="credit note", credits_id=invoiced.pk, **less)
    refused_invoice("takes back an invoice whole", note, invoiced, net_minor=-1, tax_minor=0)


def test_an_invoice_is_credited_once(invoiced, owner):
    note = credit(invoiced, owner, timezone.now())
    refused_invoice("credits_id|keeps", copied(note, sequence=3), note)
