"""What the client says while the call page is open."""

from django.http import HttpResponse
from django.shortcuts import redirect, render

from studio.commissions.access import get_option_or_404
from studio.commissions.call.page import page_of
from studio.commissions.entries import add_entry
from studio.forms import Form
from studio.people.audience import StudioRequest, audience
from studio.workshop.clock import today

__all__ = ["said"]


@audience("designer", "POST")
def said(request: StudioRequest, public_id: str, letter: str) -> HttpResponse:
    """One more entry: htmx gets the list and an empty field, a browser the page. What is refused stays
    typed."""
    found = get_option_or_404(public_id, letter)
    posted = Form.posted(request)
    form, added = posted.attempt(lambda: add_entry(posted, found.commission, request.user))
    if request.htmx:
        page = {
            "said": form,
            "blank": Form(),
            "added": added,
            "entries": found.commission.entries.select_related("by"),
        }
        return render(request, "commissions/call/said.html", page, status=200 if added else 422)
    if added:
        return redirect("option", public_id, found.letter)
    return render(
        request, "commissions/call/call.html", {**page_of(found, today()), "said": form}, status=422
    )
