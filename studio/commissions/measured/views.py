"""What plates really took: typed by hand, beside what was computed for them."""

from dataclasses import replace
from typing import Any

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import HttpResponse
from django.shortcuts import redirect
from django.urls import reverse

from studio.commissions.measured.form import ACTIONS, before, blank, recipes_of, save_measured
from studio.commissions.measured.keys import list_key
from studio.commissions.measured.plates import ComputedPlate, option_called, options_to_measure, plates_of
from studio.commissions.measured.shown import failures_shown, kinds_shown, plates_shown
from studio.commissions.models import Option
from studio.forms import Form, sentence
from studio.people.audience import StudioRequest, audience
from studio.people.models import User
from studio.pricing.rate_book import RateBook
from studio.problem import Refused
from studio.voice import Voice
from studio.workshop.books import readable_book, the_studio, voice_of
from studio.workshop.clock import today
from studio.workshop.views import workshop_page

__all__ = ["measured"]


@audience("workshop", "GET", "POST")
def measured(request: StudioRequest) -> HttpResponse:
    """The list, and a new plate; the computed half of it may come from a plate of an option."""
    _revision, book, _unread = readable_book(today())
    chosen = _chosen(request.GET.get("option", ""), request.GET.get("plate", ""))
    empty = blank(book).values | chosen["plate"]
    form = Form(empty)
    if request.method == "POST":
        posted = Form({**empty, "list": "", **Form.posted(request).values})
        pressed = next(name for name in ACTIONS if not name or name in request.POST)
        if pressed == "hazard" and not request.user.is_owner:  # a rate; what plates took is a fact
            raise PermissionDenied
        form, saved = posted.attempt(lambda: save_measured(posted, ACTIONS[pressed], request.user, today()))
        if saved:
            messages.success(request, _said(pressed, saved, voice_of(the_studio())))
            return redirect(reverse("workshop-measured") + chosen["asked"])
        form = replace(form, values={**form.values, "list": list_key(readable_book(today())[1])})
    return _page(request, form, chosen)


def _said(pressed: str, saved: RateBook, voice: Voice) -> str:
    if pressed == "hazard":
        return f"Prices now reckon with {voice.quantity(saved.failures_per_hour, 4)} failures an hour."
    plates = voice.count(len(saved.measured), "plate")
    return f"Saved: {plates} measured. Options that are quoted already keep the factors that they have."


def _page(request: StudioRequest, form: Form, chosen: dict[str, Any]) -> HttpResponse:
    revision, book, unread = readable_book(today())
    voice = voice_of(the_studio(), book.currency)
    earlier = before(revision, book)
    return workshop_page(
        request,
        "measured",
        form,
        book,
        unread,
        folder="commissions/measured",
        recipes=[(key, key) for key in recipes_of(book)],
        plates=plates_shown(book.measured),
        **_said_by(book, voice),
        undo=None if earlier is None else len(earlier),
        options=[(option.pk, _called(option, request.user)) for option in options_to_measure()],
        chosen=chosen | {"called": chosen["option"] and _called(chosen["option"], request.user)},
    )


def _called(option: Option, user: User) -> str:
    """A title may name the client, whom the workshop does not see."""
    commission = option.commission
    return f"{commission.title if user.is_designer else commission.public_id}, {option.letter}"


def _said_by(book: RateBook, voice: Voice) -> dict[str, Any]:
    """Rates that were saved under older rules may hold plates that are refused today: they can still be seen
    and taken out."""
    try:
        return {"kinds": kinds_shown(book, voice), "failures": failures_shown(book, voice)}
    except Refused as refused:
        bare = replace(book, measured=())
        return {
            "wrong": [sentence(problem, voice) for problem in refused.problems],
            "failures": failures_shown(bare, voice),
        }


def _chosen(key: str, place: str) -> dict[str, Any]:
    """An option's plates, and what one of them fills in; nothing where the address names none."""
    chosen: dict[str, Any] = {"option": option_called(key), "plate": {}, "plates": [], "asked": ""}
    if option := chosen["option"]:
        chosen["asked"] = f"?option={option.pk}"
        try:
            plates = list(plates_of(option).items())
        except Refused as refused:
            return {
                **chosen,
                "told": " ".join(sentence(each, voice_of(the_studio())) for each in refused.problems),
            }
        chosen["plates"] = plates
        if place in map(str, range(len(plates))):
            chosen["plate"] = _filled(
                plates[int(place)][0], f"{option.commission.public_id}, {option.letter}"
            )
    return chosen


def _filled(plate: ComputedPlate, source: str) -> dict[str, str]:
    """`source` names nobody: what is measured stays in the rates when a client is erased."""
    return {
        "printer": plate.printer,
        "recipe": plate.recipe,
        "text": f"{source}: {plate.pieces} in {plate.filament}",
        "estimated_minutes": f"{plate.minutes:g}",
        "estimated_g": f"{plate.mass_g:g}",
    }
