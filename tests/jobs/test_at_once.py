"""Several in the same moment, each over a connection of their own."""

import pytest
from django.db import transaction
from django.utils import timezone

from studio.jobs.invoicing import credit, invoice
from studio.jobs.models import Invoice, Payment
from studio.jobs.paying import counter, paid_of, receive
from studio.problem import Refused
from studio.proposals.issuing import issue_proposal
from tests.commissions.test_at_once import at_once
from tests.jobs.conftest import approve, typed
from tests.proposals.conftest import add_option, make_commission, small_design

pytestmark = pytest.mark.django_db(transaction=True)


def test_one_form_sent_by_three_tabs_is_one_payment(yes, owner):
    given = typed("100")
    at_once(*[lambda: receive(yes, given, owner, timezone.now())] * 3)
    assert Payment.objects.count() == 1
    assert paid_of(yes).received_minor == 10000


def test_two_who_take_the_same_payment_back_do_it_once(yes, owner):
    wrong = receive(yes, typed("100"), owner, timezone.now())
    at_once(*[lambda: counter(wrong, owner, timezone.now())] * 2)
    assert paid_of(yes).received_minor == 0


def test_invoices_of_several_commissions_get_numbers_without_a_gap(yes, owner, ms_adeyemi):
    other = make_commission(ms_adeyemi)
    add_option(other, "A", small_design())
    second = approve(issue_proposal(other, ("A",), owner, timezone.now()))
    at_once(
        *(
            lambda sold=sold, place=place: invoice(
                sold, place, owner, timezone.now(), tax_point=timezone.localdate()
            )
            for sold in (yes, second)
            for place in (1, 2)
        )
    )
    wrong = Invoice.objects.get(sequence=2)
    at_once(*[lambda: credit(wrong, owner, timezone.now())] * 3)
    assert [each.sequence for each in Invoice.objects.all()] == [1, 2, 3, 4, 5]
    assert Invoice.objects.filter(kind="credit note").count() == 1


def test_one_stage_is_invoiced_once(yes, owner):
    ended = []

    def act():
        try:
            with transaction.atomic():
                invoice(yes, 1, owner, timezone.now(), tax_point=timezone.localdate())
            ended.append("done")
        except Refused:
            ended.append("refused")

    at_once(act, act, act)
    assert sorted(ended) == ["done", "refused", "refused"]
    assert [each.sequence for each in Invoice.objects.all()] == [1]
