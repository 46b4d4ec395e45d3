"""What is personal in payments and invoices goes with the person; every amount stays."""

from django.utils import timezone

from studio.clients.models import Client
from studio.jobs.invoicing import document_of, invoice
from studio.jobs.models import Invoice, Payment
from studio.jobs.paying import paid_of, receive
from studio.proposals.erasing import erase_client
from tests.jobs.conftest import typed


def test_references_and_parties_go_and_sums_stay(yes, owner, ms_adeyemi):
    receive(yes, typed("250", reference="Adeyemi, hall"), owner, timezone.now())
    document = document_of(invoice(yes, 1, owner, timezone.now(), tax_point=timezone.localdate()))
    before = paid_of(yes)
    erase_client(Client.objects.create(name="Mr Petrov"), owner, timezone.now())
    assert Payment.objects.get().reference == "Adeyemi, hall"
    erase_client(ms_adeyemi, owner, timezone.now())
    assert Payment.objects.get().reference is None
    assert Invoice.objects.get().parties is None
    assert paid_of(yes) == before
    assert document_of(Invoice.objects.get()) == document


def test_the_page_after_an_erasure(yes, owner, ms_adeyemi, signed_in):
    receive(yes, typed("250", reference="Adeyemi, hall"), owner, timezone.now())
    erase_client(ms_adeyemi, owner, timezone.now())
    page = signed_in.get(f"/jobs/for/{yes.proposal.commission.public_id}/payments/").content.decode()
    assert "£250.00" in page
    assert "Adeyemi" not in page
