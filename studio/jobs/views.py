"""What was agreed, what came, what is open, and a form to write a payment down."""

from collections.abc import Iterator
from dataclasses import replace

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone

from studio.commissions.access import get_commission_or_404
from studio.commissions.models import Commission
from studio.forms import Form, form_page
from studio.jobs.facts import final_told
from studio.jobs.models import Payment
from studio.jobs.paying import counter, paid_of
from studio.jobs.payment_form import blank_form, receive_typed, renewed
from studio.people.audience import StudioRequest, audience
from studio.problem import Refused
from studio.proposals.models import Decision
from studio.proposals.views import get_sold_or_404
from studio.voice import Voice
from studio.workshop.books import the_studio, voice_of
from studio.workshop.clock import today

__all__ = ["counter_payment", "payments"]


@audience("designer", "GET", "POST")
def payments(request: StudioRequest, public_id: str) -> HttpResponse:
    """Once an option is approved."""
    commission = get_commission_or_404(public_id)
    form = Form()
    if request.method == "POST":
        yes, posted = get_sold_or_404(commission), Form.posted(request)
        form, payment = posted.attempt(lambda: receive_typed(posted, yes, request.user, timezone.now()))
        if payment:
            voice = voice_of(the_studio())
            told = f"{payment.in_words(voice)} is written down. {final_told(yes, voice)}"
            messages.success(request, told.strip())
            return redirect("jobs:payments", commission.public_id)
    return _page(request, commission, form)


@audience("designer", "POST")
def counter_payment(request: StudioRequest, public_id: str) -> HttpResponse:
    found = Payment.objects.select_related("decision__proposal__commission")
    payment = get_object_or_404(found, public_id=public_id)
    commission = payment.decision.proposal.commission
    try:
        counter(payment, request.user, timezone.now())
    except Refused as refused:
        return _page(request, commission, Form().refused(refused))
    messages.success(request, f"{payment.in_words(voice_of(the_studio()))} is taken back.")
    return redirect("jobs:payments", commission.public_id)


def _page(request: StudioRequest, commission: Commission, form: Form) -> HttpResponse:
    yes = get_sold_or_404(commission)
    paid = paid_of(yes)
    if form.clashes:
        form = renewed(form, yes)
    elif not form.values:
        form = replace(blank_form(yes, paid, today()), problems=form.problems)
    voice = voice_of(the_studio(), yes.currency)
    stages = [(each.stage.place, each.stage.text) for each in paid.stages]
    context = {
        "voice": voice,
        "commission": commission,
        "yes": yes,
        "paid": paid,
        "uncounted": [voice.using(currency).minor(sum_) for currency, sum_ in paid.uncounted_minor.items()],
        "rows": list(_rows(commission, yes, dict(stages), voice)),
        "stages": stages,
    }
    return form_page(request, "jobs/payments.html", form, **context)


def _rows(
    commission: Commission, yes: Decision, stages: dict[int, str], voice: Voice
) -> Iterator[tuple[Payment, str, str]]:
    """Every payment with its amount and what it was for."""
    found = Payment.objects.filter(decision__proposal__commission=commission, counters=None)
    for row in found.select_related("by", "countered_by__by"):
        stage = stages[row.stage] if row.decision_id == yes.pk else "before the variation"
        yield row, row.in_words(voice), stage
