"""The space is taped after a yes, before the work is released."""

from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect
from django.utils import timezone

from studio.commissions.access import get_commission_or_404
from studio.commissions.models import Commission
from studio.document import parse
from studio.forms import Form, form_page
from studio.money import to_minor
from studio.people.audience import StudioRequest, audience
from studio.problem import Refused
from studio.proposals.freeze import OptionSent
from studio.proposals.models import Decision, Taping
from studio.proposals.newest import newest_yes
from studio.proposals.refit import agreed_option, option_of_refit, untaped
from studio.proposals.stored import read
from studio.proposals.taping import Taped, WordNeeded, tape
from studio.proposals.tax_shown import first_of, price_read, words_of
from studio.proposals.views import get_sold_or_404
from studio.workshop.books import the_studio, voice_of
from studio.workshop.clock import today

__all__ = ["taping"]


@audience("designer", "GET", "POST")
def taping(request: StudioRequest, public_id: str) -> HttpResponse:
    commission = get_commission_or_404(public_id)
    yes = get_sold_or_404(commission)
    if request.method == "GET":
        return _page(request, commission, yes, Form(_first(yes)))
    posted, sent = Form.posted(request), None
    try:
        row = tape(commission, parse(Taped, _filled(posted)), request.user, timezone.now())
    except Refused as refused:
        fresh = newest_yes(get_commission_or_404(public_id)) or yes
        sent = refused.sent if isinstance(refused, WordNeeded) else None
        form = posted.refused(refused.under("taping"))
        return _page(request, commission, fresh, _asked(form, fresh, sent), sent)
    told = "what is made and owed is this panel now" if row.figures else "the panel that was agreed fits"
    messages.success(request, f"The space is taped; {told}.")
    return redirect("jobs:start", public_id)


def _filled(posted: Form) -> dict[str, Any]:
    """A question that was not asked yet has no answer."""
    return {name: value for name, value in posted.document("taping.").items() if value != ""}


def _first(yes: Decision) -> dict[str, str]:
    return {"taping.sold": yes.issue.public_id, "taping.taped_on": today().isoformat()}


def _asked(form: Form, yes: Decision, sent: OptionSent | None) -> Form:
    """What stands now, whatever a page showed before."""
    price = sent.estimate.price if sent else None
    minor = str(to_minor(price.gross, price.currency)) if price else ""
    now = {"taping.sold": yes.issue.public_id, "taping.price_minor": minor}
    return Form({"taping.said_on": today().isoformat(), **form.values, **now}, form.problems)


def _page(
    request: StudioRequest, commission: Commission, yes: Decision, form: Form, sent: OptionSent | None = None
) -> HttpResponse:
    stored = read(yes.issue)
    option, kind = agreed_option(yes, stored), stored.figures["client_kind"]
    voice, first, row = (
        voice_of(the_studio(), yes.currency),
        first_of(option, kind),
        getattr(yes, "taping", None),
    )
    context: dict[str, Any] = {
        "voice": voice,
        "commission": commission,
        "yes": yes,
        "agreed": option,
        "range": (option["estimate"]["price_range"] or {}).get(first),
        "words": words_of(option["estimate"], first),
        "agreed_price": price_read(option, kind, voice),
        "made_price": price_read(option_of_refit(row), kind, voice) if row and row.figures else "",
        "sent_price": getattr(sent.estimate.price, first) if sent else None,
        "row": row,
        "open": untaped(yes, stored),
        "hows": Taping.How.choices,
        "sent": sent,
    }
    return form_page(request, "jobs/taping.html", form, **context)
