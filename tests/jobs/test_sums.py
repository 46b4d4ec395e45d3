"""Whatever is written down in whatever order, three ways of adding up agree."""

from collections import Counter
from datetime import datetime

import pytest
from django.db import connection, transaction
from django.utils import timezone
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from studio.jobs.invoicing import credit, invoice
from studio.jobs.models import Invoice, Payment
from studio.jobs.paying import counter, paid_of, receive
from studio.money import from_minor
from studio.problem import Refused
from tests.jobs.conftest import typed

NOW = timezone.make_aware(datetime(2026, 7, 1, 12))
STAGES = st.integers(1, 3)
ACTS = st.one_of(
    st.tuples(st.just("receive"), STAGES, st.integers(1, 10**11)),
    st.tuples(st.just("counter"), st.integers(0, 9), st.just(0)),
    st.tuples(st.just("invoice"), STAGES, st.just(0)),
    st.tuples(st.just("credit"), st.integers(0, 9), st.just(0)),
)


class Book:
    """The second computation: the acts kept in Python, without a row."""

    def __init__(self, yes, by):
        self.yes, self.by = yes, by
        self.received, self.invoiced = Counter(), Counter()
        self.payments, self.invoices, self.taken_back, self.credited = [], [], set(), set()

    def do(self, act, which, minor):
        getattr(self, act)(which, minor)

    def receive(self, stage, minor):
        amount = from_minor(minor, self.yes.currency)
        payment = receive(self.yes, typed(str(amount), stage), self.by, timezone.now())
        self.payments.append((payment, stage, minor))
        self.received[stage] += minor

    def counter(self, which, _minor):
        if self.payments:
            payment, stage, minor = self.payments[which % len(self.payments)]
            counter(payment, self.by, NOW)
            if payment.pk not in self.taken_back:
                self.taken_back.add(payment.pk)
                self.received[stage] -= minor

    def invoice(self, stage, _minor):
        gross = self.agreed[stage]
        if self.invoiced[stage]:
            with pytest.raises(Refused):
                invoice(self.yes, stage, self.by, NOW, tax_point=NOW.date())
        else:
            self.invoices.append((invoice(self.yes, stage, self.by, NOW, tax_point=NOW.date()), stage, gross))
            self.invoiced[stage] += gross

    def credit(self, which, _minor):
        if self.invoices:
            made, stage, gross = self.invoices[which % len(self.invoices)]
            credit(made, self.by, NOW)
            if made.pk not in self.credited:
                self.credited.add(made.pk)
                self.invoiced[stage] -= gross


def plain_sql(table: str, amount: str) -> dict[int, int]:
    with connection.cursor() as cursor:
        cursor.execute(f"SELECT stage, SUM({amount}) FROM {table} GROUP BY stage")
        return {stage: int(total) for stage, total in cursor.fetchall()}


@settings(
    max_examples=40,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(acts=st.lists(ACTS, max_size=14))
def test_sums_agree(yes, owner, acts):
    with transaction.atomic():
        book = Book(yes, owner)
        book.agreed = {each.stage.place: each.stage.gross_minor for each in paid_of(yes).stages}
        for act in acts:
            book.do(*act)
        paid = paid_of(yes)
        for each in paid.stages:
            place = each.stage.place
            assert each.received_minor == book.received[place]
            assert each.received_minor == plain_sql("jobs_payment", "amount_minor").get(place, 0)
            assert each.invoiced_minor == book.invoiced[place]
            assert each.invoiced_minor == plain_sql("jobs_invoice", "gross_minor").get(place, 0)
        assert paid.open_minor == yes.gross_minor - sum(book.received.values())
        assert paid.received_minor == sum(row.amount_minor for row in Payment.objects.all())
        assert [row.sequence for row in Invoice.objects.all()] == list(
            range(1, len(book.invoices) + len(book.credited) + 1)
        )
        transaction.set_rollback(True)
