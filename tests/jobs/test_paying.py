"""A payment is written once, and set right by a row that names it."""

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal

import pytest
from django.utils import timezone

from studio.jobs.models import Payment
from studio.jobs.paying import counter, paid_of, receive
from studio.problem import Overtaken, Refused
from studio.proposals.issuing import issue_proposal
from studio.proposals.selling import begin_variation, cancel
from studio.workshop.books import current_book, save_book
from studio.workshop.clock import today
from tests.jobs.conftest import approve, typed


def test_received_and_open(yes, owner):
    before = paid_of(yes).stages
    payment = receive(yes, typed("100.50", reference="Inv. 7, Adeyemi"), owner, timezone.now())
    assert (payment.amount, payment.currency, payment.by) == (Decimal("100.50"), yes.currency, owner)
    assert payment.reference == "Inv. 7, Adeyemi"
    receive(yes, typed("1", stage=2), owner, timezone.now())
    paid = paid_of(yes)
    came = [10050, 100, 0]
    assert [each.received_minor for each in paid.stages] == came
    assert [each.open_minor for each in paid.stages] == [
        each.stage.gross_minor - received for each, received in zip(before, came, strict=True)
    ]
    assert (paid.agreed_minor, paid.received_minor) == (yes.gross_minor, 10150)
    assert paid.open_minor == yes.gross_minor - 10150


def test_the_same_form_twice_is_one_payment(yes, owner):
    given = typed()
    first = receive(yes, given, owner, timezone.now())
    assert receive(yes, given, owner, timezone.now()).pk == first.pk
    assert receive(yes, typed(), owner, timezone.now()).pk != first.pk
    assert paid_of(yes).received_minor == 20000


@pytest.mark.parametrize("changed", [{"amount": Decimal(7)}, {"stage": 2}, {"reference": "again"}])
def test_the_same_form_with_another_payment_is_asked_about(yes, owner, changed):
    given = typed()
    receive(yes, given, owner, timezone.now())
    with pytest.raises(Refused, match=r"has written down £100\.00 already") as refused:
        receive(yes, replace(given, **changed), owner, timezone.now())
    assert isinstance(refused.value.problems[0], Overtaken)
    assert Payment.objects.count() == 1


@pytest.mark.parametrize(
    ("given", "field"),
    [
        (lambda: typed(stage=0), "stage"),
        (lambda: typed(stage=4), "stage"),
        (lambda: typed("0.005"), "amount"),
        (lambda: typed(on=today() + timedelta(days=1)), "received_on"),
        (lambda: typed(on=today() - timedelta(days=1)), "received_on"),
    ],
)
def test_what_cannot_be_is_refused(yes, owner, given, field):
    with pytest.raises(Refused) as refused:
        receive(yes, given(), owner, timezone.now())
    assert [problem.field for problem in refused.value.problems] == [field]
    assert not Payment.objects.exists()


def test_more_than_was_agreed_is_open_below_nothing(yes, owner):
    receive(yes, typed(f"{yes.gross + 1}"), owner, timezone.now())
    assert paid_of(yes).open_minor == -100


def test_a_wrong_payment_is_taken_back_once(yes, owner, maker):
    wrong = receive(yes, typed("100.00", reference="Adeyemi"), owner, timezone.now())
    row = counter(wrong, maker, timezone.now())
    assert (row.amount, row.counters, row.by, row.reference) == (-wrong.amount, wrong, maker, None)
    assert (row.stage, row.currency, row.received_on) == (wrong.stage, wrong.currency, wrong.received_on)
    assert counter(wrong, owner, timezone.now()).pk == row.pk
    assert paid_of(yes).received_minor == 0
    with pytest.raises(Refused, match="takes back a payment itself"):
        counter(row, owner, timezone.now())


def test_a_variation_is_paid_by_what_came_before_too(yes, commission, owner):
    receive(yes, typed("100"), owner, timezone.now())
    begin_variation(commission, owner, timezone.now())
    varied = approve(issue_proposal(commission, ("B",), owner, timezone.now()), "B")
    receive(varied, typed("7"), owner, timezone.now())
    paid = paid_of(varied)
    assert paid.before_minor == 10000
    assert [each.received_minor for each in paid.stages] == [700, 0, 0]
    assert paid.open_minor == varied.gross_minor - 10700
    assert (paid_of(yes).before_minor, paid_of(yes).received_minor) == (0, 10000)


def test_money_of_another_currency_is_in_no_sum_and_said(yes, commission, owner, signed_in):
    """Paid in pounds, then varied at a rate book in euros: 100 pounds are not 100 euros."""
    receive(yes, typed("100"), owner, timezone.now())
    begin_variation(commission, owner, timezone.now())
    _revision, book = current_book(today())
    in_euros = save_book(replace(book, currency="EUR"), owner, today())
    option = commission.options.get(letter="B")
    option.rate_book, option.currency = in_euros, "EUR"
    option.save()
    varied = approve(issue_proposal(commission, ("B",), owner, timezone.now()), "B")
    receive(varied, typed("7"), owner, timezone.now())
    paid = paid_of(varied)
    assert (varied.currency, paid.before_minor, paid.uncounted_minor) == ("EUR", 0, {"GBP": 10000})
    assert paid.open_minor == varied.gross_minor - 700
    page = signed_in.get(f"/jobs/for/{commission.public_id}/payments/").content.decode()
    assert "£100.00 came before the variation, in another currency, and is in none of these sums" in page


def test_after_a_cancellation_what_is_owed_is_open(yes, commission, owner):
    receive(yes, typed("100"), owner, timezone.now())
    cancel(commission, "Ms Adeyemi", "The wall goes", Decimal(30), owner, timezone.now())
    paid = paid_of(yes)
    assert (paid.owed_minor, paid.agreed_minor) == (3000, yes.gross_minor)
    assert paid.open_minor == -7000
