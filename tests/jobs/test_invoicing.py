"""Invoices say what was agreed, are numbered without a gap, and are taken back whole."""

import json
from dataclasses import replace
from datetime import datetime, timedelta
from decimal import Decimal
from hashlib import sha256

import pytest
from django.utils import timezone

from studio.document import canonical
from studio.estimate.report import for_client
from studio.jobs import invoicing
from studio.jobs.agreed import agreed_in, agreed_of
from studio.jobs.invoicing import credit, document_of, invoice
from studio.jobs.models import Invoice
from studio.jobs.paying import paid_of
from studio.pricing.sheet import TaxLine
from studio.problem import Refused
from studio.proposals.erasing import erase_client
from studio.proposals.issuing import issue_proposal
from studio.proposals.models import Decision
from studio.proposals.selling import begin_variation, cancel
from studio.proposals.stored import Damaged, read
from studio.workshop.clock import today
from tests.jobs.conftest import approve
from tests.proposals import by_hand


def at(year: int) -> datetime:
    return timezone.make_aware(datetime(year, 7, 1, 12))


def test_the_figures_are_those_that_were_frozen(yes, owner):
    frozen = next(o for o in read(yes.issue).figures["options"] if o["letter"] == "A")["estimate"][
        "deposits"
    ][0]
    made = invoice(yes, 1, owner, at(2026), tax_point=today())
    told = json.loads(document_of(made))
    assert {name: told[name] for name in ("net", "tax", "gross")} == {
        name: frozen[name] for name in ("net", "tax", "gross")
    }
    assert told["taxes"] == frozen["taxes"]
    assert (told["stage"], told["seal"], told["option"]) == (frozen["text"], yes.issue.seal, "A")
    assert (told["number"], told["kind"], told["issued_on"]) == ("2026-0001", "invoice", "2026-07-01")
    assert canonical(told) == bytes(made.document)
    assert made.sha256 == sha256(bytes(made.document)).hexdigest()


def test_row_taxes_and_document_say_the_same(yes, owner):
    made = Invoice.objects.get(pk=invoice(yes, 2, owner, at(2026), tax_point=today()).pk)
    stage = agreed_of(yes).stage(2)
    assert (made.net_minor, made.tax_minor, made.gross_minor) == (
        stage.net_minor, stage.tax_minor, stage.gross_minor
    )  # fmt: skip
    assert [(tax.code, tax.percent, tax.net_minor, tax.tax_minor) for tax in made.taxes.all()] == [
        (tax.code, tax.percent, tax.net_minor, tax.tax_minor) for tax in stage.taxes
    ]
    assert [each.invoiced_minor for each in paid_of(yes).stages] == [0, made.gross_minor, 0]


def test_nobodys_name_is_in_the_document_and_the_parties_are_held_by_it(yes, owner, ms_adeyemi):
    made = invoice(yes, 1, owner, at(2026), tax_point=today())
    assert b"Adeyemi" not in bytes(made.document)
    parties = json.loads(bytes(made.parties))
    assert (parties["client"]["name"], parties["studio"]["name"]) == ("Ms Adeyemi", "Withy Lane Panels")
    assert json.loads(document_of(made))["parties_sha256"] == sha256(bytes(made.parties)).hexdigest()


def test_numbers_run_without_a_gap_within_a_year(yes, owner):
    first = invoice(yes, 1, owner, at(2026), tax_point=today())
    made = [
        first,
        invoice(yes, 2, owner, at(2026), tax_point=today()),
        credit(first, owner, at(2026)),
        invoice(yes, 1, owner, at(2027), tax_point=today()),
    ]
    assert [each.number for each in made] == ["2026-0001", "2026-0002", "2026-0003", "2027-0001"]


def test_a_number_that_was_not_used_is_the_next_ones(yes, owner, monkeypatch):
    """What fails before it is written leaves no gap."""
    invoice(yes, 1, owner, at(2026), tax_point=today())
    with monkeypatch.context() as patch:
        patch.setattr(invoicing, "_document", lambda row, stage: 1 // 0)
        with pytest.raises(ZeroDivisionError):
            invoice(yes, 2, owner, at(2026), tax_point=today())
    assert invoice(yes, 2, owner, at(2026), tax_point=today()).number == "2026-0002"


def test_a_credit_note_is_the_invoice_negative(yes, owner):
    wrong = invoice(yes, 1, owner, at(2026), tax_point=today())
    note = credit(wrong, owner, at(2026))
    assert (note.kind, note.credits, note.tax_point) == ("credit note", wrong, wrong.tax_point)
    assert (note.net_minor, note.tax_minor) == (-wrong.net_minor, -wrong.tax_minor)
    told, was = json.loads(document_of(note)), json.loads(document_of(wrong))
    assert (told["credits"], told["gross"]) == (wrong.number, f"-{was['gross']}")
    assert credit(wrong, owner, at(2026)).pk == note.pk
    with pytest.raises(Refused, match="takes back an invoice itself"):
        credit(note, owner, at(2026))
    assert paid_of(yes).stages[0].invoiced_minor == 0


def test_one_invoice_for_a_stage_until_it_is_credited(yes, owner):
    first = invoice(yes, 1, owner, at(2026), tax_point=today())
    with pytest.raises(Refused, match="invoiced already"):
        invoice(yes, 1, owner, at(2026), tax_point=today())
    credit(first, owner, at(2026))
    assert invoice(yes, 1, owner, at(2026), tax_point=today()).number == "2026-0003"


def test_an_invoice_from_before_a_refit_is_taken_back_as_it_was(yes, owner):
    """Another panel puts all of the difference on the last payment: what was invoiced of it is credited to
    the cent, and only then the new amount is invoiced."""
    wrong = invoice(yes, 3, owner, at(2026), tax_point=today())
    was = (wrong.net_minor, wrong.tax_minor, wrong.gross_minor)
    stages = agreed_of(yes).stages
    taxes = (
        replace(stages[2].taxes[0], net_minor=stages[2].net_minor + 500, tax_minor=stages[2].tax_minor + 100),
    )
    last = replace(
        stages[2], net_minor=taxes[0].net_minor, tax_minor=taxes[0].tax_minor, gross_minor=was[2] + 600
    )
    refit = replace(agreed_of(yes), stages=(*stages[:2], replace(last, taxes=taxes)))
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(invoicing, "agreed_of", lambda yes: refit)
        with pytest.raises(Refused, match="2026-0001 is for what was agreed before"):
            invoice(yes, 1, owner, at(2026), tax_point=today())
        note = credit(Invoice.objects.get(pk=wrong.pk), owner, at(2026))
        assert (note.net_minor, note.tax_minor, note.gross_minor) == tuple(-each for each in was)
        assert json.loads(document_of(note))["stage"] == json.loads(document_of(wrong))["stage"]
        assert invoice(yes, 3, owner, at(2026), tax_point=today()).gross_minor == was[2] + 600


def test_an_invoice_and_its_credit_note_say_why_there_is_no_tax(yes, owner, monkeypatch):
    figures = {"currency": "GBP", "issued_on": today().isoformat(), "options": [untaxed_option()]}
    monkeypatch.setattr(invoicing, "agreed_of", lambda yes: agreed_in(figures, "A"))
    made = invoice(yes, 1, owner, at(2026))
    for each in (made, credit(Invoice.objects.get(pk=made.pk), owner, at(2026))):
        (tax,) = json.loads(document_of(each))["taxes"]
        assert (tax["treatment"], tax["reason"]) == ("reverse charge", "Article 196")


def untaxed_option() -> dict:
    """£1,000 in two payments, with the tax left to the client."""
    plain = by_hand.sheet("1000.00", "0.00")
    why = {"treatment": "reverse charge", "reason": "Article 196"}
    half = TaxLine("abroad", "Abroad", Decimal(0), Decimal(500), Decimal(0), **why)
    parts = tuple(replace(part, taxes=(half,)) for part in plain.deposits)
    price = replace(plain, taxes=(replace(half, net=Decimal(1000)),), deposits=parts)
    return {"letter": "A", "estimate": for_client(by_hand.estimate(price=price))}


def test_what_is_called_off_is_not_invoiced_and_what_was_invoiced_can_be_taken_back(yes, commission, owner):
    made = invoice(yes, 1, owner, at(2026), tax_point=today())
    cancel(commission, "Ms Adeyemi", "The wall goes", Decimal(30), owner, timezone.now())
    now = Decision.objects.get(pk=yes.pk)
    with pytest.raises(Refused, match=r"£30\.00 is owed instead"):
        invoice(now, 2, owner, at(2026), tax_point=today())
    assert credit(Invoice.objects.get(pk=made.pk), owner, at(2026)).gross_minor == -made.gross_minor


def test_after_a_variation_only_what_is_sold_is_invoiced(yes, commission, owner):
    made = invoice(yes, 1, owner, at(2026), tax_point=today())
    begin_variation(commission, owner, timezone.now())
    varied = approve(issue_proposal(commission, ("B",), owner, timezone.now()), "B")
    with pytest.raises(Refused, match="another option was approved since then"):
        invoice(yes, 2, owner, at(2026), tax_point=today())
    with pytest.raises(Refused, match="2026-0001 is for what was agreed before"):
        invoice(varied, 1, owner, at(2026), tax_point=today())
    credit(made, owner, at(2026))
    assert (
        invoice(varied, 1, owner, at(2026), tax_point=today()).gross_minor
        == agreed_of(varied).stage(1).gross_minor
    )


@pytest.mark.parametrize("place", [0, 4])
def test_a_stage_that_there_is_not_is_refused(yes, owner, place):
    with pytest.raises(Refused, match="stage"):
        invoice(yes, place, owner, at(2026), tax_point=today())


def test_the_day_of_the_tax(yes, owner, monkeypatch):
    """With each payment, as is usual where the demonstration is; else at a hand-over that may be still to
    come."""
    with pytest.raises(Refused, match="tax is due with each payment"):
        invoice(yes, 1, owner, at(2026))
    due = at(2026).date() - timedelta(days=3)
    assert invoice(yes, 2, owner, at(2026), tax_point=due).tax_point == due
    at_the_end = replace(agreed_of(yes), deposit_is_tax_point=False)
    monkeypatch.setattr(invoicing, "agreed_of", lambda yes: at_the_end)
    assert invoice(yes, 1, owner, at(2026)).tax_point is None


def test_nobody_who_is_erased_is_invoiced_and_what_was_invoiced_can_be_taken_back(yes, owner, ms_adeyemi):
    made = invoice(yes, 1, owner, at(2026), tax_point=today())
    erase_client(ms_adeyemi, owner, timezone.now())
    with pytest.raises(Refused, match="erased"):
        invoice(yes, 2, owner, at(2026), tax_point=today())
    note = credit(Invoice.objects.get(pk=made.pk), owner, at(2026))
    assert (note.parties, json.loads(document_of(note))["parties_sha256"]) == (None, None)


def test_a_changed_document_is_not_shown(yes, owner):
    made = invoice(yes, 1, owner, at(2026), tax_point=today())
    made.document = b"{}"
    with pytest.raises(Damaged):
        document_of(made)
