"""Spaces: where a panel is to go."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect

from studio.clients.access import get_client_or_404, get_space_or_404
from studio.clients.models import Space
from studio.clients.space_form import MOUNTINGS, ORIGINS, YES_OR_NO, save_space, space_form
from studio.commissions.estimating import save_space_of
from studio.forms import Form, form_page
from studio.people.audience import StudioRequest, audience
from studio.stored.kinds import SPACE
from studio.workshop.books import the_studio, voice_of
from studio.workshop.clock import today

__all__ = ["edit", "new"]


@audience("designer", "GET", "POST")
def new(request: StudioRequest, public_id: str) -> HttpResponse:
    return _form(request, Space(client=get_client_or_404(public_id), document={}))


@audience("designer", "GET", "POST")
def edit(request: StudioRequest, public_id: str) -> HttpResponse:
    return _form(request, get_space_or_404(public_id))


def _form(request: StudioRequest, space: Space) -> HttpResponse:
    voice = voice_of(the_studio())
    form = space_form(space, voice)
    if request.method == "POST":
        posted = Form.posted(request)
        form, done = posted.attempt(
            lambda: save_space_of(space, lambda row: save_space(posted, row, voice, request.user), today())
        )
        if done:
            saved, told = done
            messages.success(request, f"The space is saved. {told}")
            return redirect("client", saved.client.public_id) if saved.client else redirect("/")
    commission = space.commissions.first() if space.pk else None
    return form_page(
        request,
        "commissions/clients/space.html",
        form,
        space=space,
        unreadable=SPACE.fault(space.document) if space.pk else None,
        mountings=MOUNTINGS,
        origins=ORIGINS,
        yes_or_no=YES_OR_NO,
        commission=commission,
    )
