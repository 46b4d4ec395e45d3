"""The page of payments: written down, refused, sent twice, taken back."""

from decimal import Decimal

import pytest
from django.utils import timezone

from studio.jobs.models import Payment
from studio.jobs.paying import paid_of, receive
from studio.proposals.issuing import issue_proposal
from studio.proposals.selling import begin_variation, cancel
from tests.jobs.conftest import approve, typed
from tests.two_tabs import forms_of


@pytest.fixture
def address(commission, yes):
    return f"/jobs/for/{commission.public_id}/payments/"


def form_of(page, **changed):
    """What the page's form would post."""
    (form,) = [each for each in forms_of(page) if "key" in each]
    return {name: value for name, value in form.items() if name != "csrfmiddlewaretoken"} | changed


def text(page) -> str:
    return " ".join(page.content.decode().split())


def test_the_proposals_page_leads_to_it_once_an_option_is_approved(signed_in, commission, issue):
    address = f"/jobs/for/{commission.public_id}/payments/"
    assert address not in text(signed_in.get(f"/proposals/for/{commission.public_id}/"))
    assert signed_in.get(address).status_code == 404
    assert signed_in.post(address, {}).status_code == 404


def test_what_is_agreed_received_and_open(signed_in, address, commission, yes, owner):
    assert address in text(signed_in.get(f"/proposals/for/{commission.public_id}/"))
    first, _middle, last = paid_of(yes).stages
    receive(yes, typed("100", reference="Rechnung <7>"), owner, timezone.now())
    page = text(signed_in.get(address))
    voice = "£{:,.2f}".format
    for minor in (first.stage.gross_minor, first.open_minor - 10000, last.open_minor, yes.gross_minor):
        assert voice(minor / 100) in page
    assert "“Rechnung &lt;7&gt;”" in page
    assert "Written down by Runa" in page


def test_a_payment_is_written_down(signed_in, address, yes, owner):
    form = form_of(signed_in.get(address))
    assert form["amount"] == f"{paid_of(yes).stages[0].stage.gross_minor / 100:.2f}"
    answer = signed_in.post(address, form | {"amount": "12,5", "reference": " On account "})
    assert (answer.status_code, answer["Location"]) == (302, address)
    payment = Payment.objects.get()
    assert (payment.amount_minor, payment.stage, payment.reference, payment.by) == (
        1250, 1, "On account", owner
    )  # fmt: skip
    assert "£12.50 is written down." in text(signed_in.get(address))


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"amount": "a lot"}, "Found “a lot”"),
        ({"amount": ""}, "Nothing is given"),
        ({"amount": "-5"}, "Found -5. Give more than 0."),
        ({"amount": "1,200"}, "could be thousands or decimals"),
        ({"amount": "0.001"}, "finer than the smallest amount of GBP"),
        ({"stage": "9"}, "There is no stage 9"),
        ({"stage": "first"}, "Found “first”"),
        ({"received_on": "yesterday"}, "Found “yesterday”"),
        ({"received_on": "2999-01-01"}, "not between the proposal and today"),
        ({"reference": "x" * 201}, "at most 200 characters"),
        ({"key": "<script>"}, "Found “&lt;script&gt;”"),
    ],
)
def test_bad_input_is_told_and_what_was_typed_stays(signed_in, address, changed, said):
    form = form_of(signed_in.get(address), reference="kept") | changed
    answer = signed_in.post(address, form)
    assert answer.status_code == 422
    page = text(answer)
    assert said in page
    again = form_of(answer)
    assert again == form
    assert not Payment.objects.exists()
    mended = {name: form_of(signed_in.get(address))[name] for name in changed}
    assert signed_in.post(address, again | mended).status_code == 302


def test_nothing_at_all_is_bad_input(signed_in, address):
    assert signed_in.post(address, {}).status_code == 409
    proposal = form_of(signed_in.get(address))["proposal"]
    assert signed_in.post(address, {"proposal": proposal}).status_code == 422
    assert not Payment.objects.exists()


def test_a_form_that_is_sent_twice_writes_once(signed_in, tam, address):
    form = form_of(signed_in.get(address), amount="100")
    for browser in (signed_in, tam):
        assert browser.post(address, form).status_code == 302
    assert Payment.objects.count() == 1


def test_a_form_that_is_sent_again_with_another_payment_is_asked_about(signed_in, address):
    form = form_of(signed_in.get(address), amount="100")
    signed_in.post(address, form)
    answer = signed_in.post(address, form | {"amount": "70"})
    assert answer.status_code == 409
    assert "has written down £100.00 already" in text(answer)
    again = form_of(answer)
    assert again["amount"] == "70"
    assert again["key"] != form["key"]
    assert signed_in.post(address, again).status_code == 302
    assert {payment.amount_minor for payment in Payment.objects.all()} == {10000, 7000}


def test_a_form_of_what_does_not_stand_any_more_is_asked_about(signed_in, address, yes):
    answer = signed_in.post(address, form_of(signed_in.get(address), proposal="2026-0099", amount="100"))
    assert answer.status_code == 409
    assert "another option was approved meanwhile" in text(answer).lower()
    assert form_of(answer)["proposal"] == yes.proposal.number
    assert not Payment.objects.exists()


def test_a_payment_is_taken_back(signed_in, tam, address, yes, owner):
    wrong = receive(yes, typed("100"), owner, timezone.now())
    taken = f"/jobs/payments/{wrong.public_id}/counter/"
    assert taken in text(signed_in.get(address))
    for _twice in range(2):
        assert tam.post(taken)["Location"] == address
    assert paid_of(yes).received_minor == 0
    page = text(signed_in.get(address))
    assert "Taken back by Tam" in page
    assert taken not in page
    row = Payment.objects.exclude(counters=None).get()
    answer = tam.post(f"/jobs/payments/{row.public_id}/counter/")
    assert answer.status_code == 422
    assert "takes back a payment itself" in text(answer)
    assert tam.post("/jobs/payments/nothing/counter/").status_code == 404


def test_after_a_variation_and_a_cancellation(signed_in, address, yes, commission, owner):
    receive(yes, typed("100"), owner, timezone.now())
    begin_variation(commission, owner, timezone.now())
    assert address in text(signed_in.get(f"/proposals/for/{commission.public_id}/"))
    stale = form_of(signed_in.get(address), amount="5")
    approve(issue_proposal(commission, ("B",), owner, timezone.now()), "B")
    page = text(signed_in.get(address))
    assert "Before the variation" in page
    assert f"For option B of proposal {yes.proposal.year}-0002" in page
    assert signed_in.post(address, stale).status_code == 409
    cancel(commission, "Ms Adeyemi", "The wall goes", Decimal(30), owner, timezone.now())
    page = text(signed_in.get(address))
    assert "called off since: £30.00 is owed instead" in page
    assert "-£70.00" in page
