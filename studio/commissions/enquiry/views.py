"""Commissions: started and described."""

from collections.abc import Iterator
from contextlib import suppress
from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect

from studio.clients.access import get_space_or_404
from studio.clients.models import Client
from studio.clients.space_form import NEW_ORIGIN, ORIGINS, space_words
from studio.commissions.access import get_commission_or_404
from studio.commissions.closed import is_closed
from studio.commissions.enquiry.about import about_form, save_about
from studio.commissions.enquiry.stages import by_hand
from studio.commissions.enquiry.starting import start_commission
from studio.commissions.models import Commission
from studio.commissions.wanted import verdicts, wanted_words
from studio.forms import Form, form_page
from studio.people.audience import StudioRequest, audience
from studio.problem import Refused
from studio.workshop.books import the_studio, voice_of
from studio.workshop.clock import today

__all__ = ["about", "commission", "new"]

MOST_LISTED = 500


@audience("designer", "GET", "POST")
def new(request: StudioRequest) -> HttpResponse:
    """One screen: a size as it was said, where it goes, and who asks, if that is known."""
    sides = dict.fromkeys(("space.width_origin", "space.height_origin"), NEW_ORIGIN)
    form = Form({**sides, **{name: request.GET.get(name, "") for name in ("client", "space")}})
    if request.method == "POST":
        posted = Form.posted(request)
        form, started = posted.attempt(lambda: start_commission(posted, request.user, today()))
        if started:
            return redirect("option", started.public_id, "A")
    return form_page(
        request, "commissions/enquiry/new.html", form, clients=_clients(), origins=ORIGINS, **_place(form)
    )


@audience("designer", "GET")
def commission(request: StudioRequest, public_id: str) -> HttpResponse:
    """Its approved option, else its first."""
    found = get_commission_or_404(public_id)
    approved = found.options.filter(letter=found.approved_letter).first()
    opened = approved or get_object_or_404(found.options.order_by("letter")[:1])
    return redirect("option", public_id, opened.letter)


@audience("designer", "GET", "POST")
def about(request: StudioRequest, public_id: str) -> HttpResponse:
    found = get_commission_or_404(public_id)
    form = about_form(found)
    if request.method == "POST":
        posted = Form.posted(request)
        form, done = posted.attempt(lambda: save_about(posted, found, request.user))
        if done:
            if done[1]:
                messages.info(request, done[1])
            return redirect("commission", public_id)
    offered = {form["stage"], found.stage, *by_hand(found)}
    stages = [(stage, text) for stage, text in found.Stage.choices if stage in offered]
    shown = {"stages": stages, "clients": _clients(), "wanted": list(_wanted(found))}
    return form_page(request, "commissions/enquiry/about.html", form, commission=found, **shown)


def _wanted(found: Commission) -> Iterator[tuple[str, str]]:
    """For each option of what is not sold, whether the day holds by which it is wanted."""
    if found.wanted_on is None or is_closed(found):
        return
    options = list(found.options.select_related("commission__space", "rate_book"))
    with suppress(Refused):
        verdict = verdicts(found, options, today())
        for letter in sorted(verdict):
            yield letter, wanted_words(letter, verdict, found, voice_of(the_studio()))


def _clients() -> list[tuple[str, str]]:
    found = Client.objects.filter(erased_at=None).values_list("public_id", "name")[:MOST_LISTED]
    return [("", "nobody yet"), *found]


def _place(form: Form) -> dict[str, Any]:
    """The space that a commission is started for, when there is one already."""
    if not form["space"]:
        return {}
    space = get_space_or_404(form["space"])
    return {"space": space, "size": space_words(space, voice_of(the_studio()))}
