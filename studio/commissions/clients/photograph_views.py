"""Photographs of a space: taken in and looked at."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect

from studio.clients.access import get_photograph_or_404, get_space_or_404
from studio.clients.photographs import keep_photograph
from studio.clients.picture import LARGEST_BYTES
from studio.forms import Form, form_page
from studio.people.audience import StudioRequest, audience

__all__ = ["photograph", "photographs"]


@audience("designer", "GET", "POST")
def photographs(request: StudioRequest, public_id: str) -> HttpResponse:
    space, form = get_space_or_404(public_id), Form()
    if request.method == "POST":
        form, kept = form.attempt(lambda: keep_photograph(space, _sent(request), request.user))
        if kept:
            messages.success(request, "The photograph is kept.")
            return redirect("space-photographs", public_id)
    found = space.photographs.filter(image__isnull=False).defer("image").select_related("by")
    template = "commissions/clients/photographs.html"
    return form_page(
        request, template, form, space=space, photographs=found, commission=space.commissions.first()
    )


def _sent(request: HttpRequest) -> bytes:
    """No more of it than shows that it is too large."""
    sent = request.FILES.get("photograph")
    return sent.read(LARGEST_BYTES + 1) if sent else b""


@audience("designer", "GET")
def photograph(request: StudioRequest, public_id: str) -> HttpResponse:
    """The bytes never change, so a browser may keep them; nobody between may."""
    found = get_photograph_or_404(public_id)
    answer = HttpResponse(bytes(found.image or b""), content_type="image/jpeg")
    answer["Cache-Control"] = "private, max-age=3600"
    return answer
