"""The call page of an option, and its changes."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render

from studio.commissions.access import get_commission_or_404, get_option_or_404
from studio.commissions.call.at_point import cell_page
from studio.commissions.call.change import move_to_newer_rates, save_words
from studio.commissions.call.page import page_of, range_of, unreadable_page_of
from studio.commissions.call.whole_form import form_of, whole_form
from studio.commissions.drawing.drawn import view_of
from studio.commissions.estimating import Stale
from studio.commissions.models import Option
from studio.commissions.option_set import add_option, bring_back, remove_option, undo
from studio.commissions.price_first import main_price
from studio.commissions.rates_words import rates_words
from studio.forms import Form, Reshown, tell
from studio.people.audience import StudioRequest, audience
from studio.problem import Refused
from studio.stored.door import Unreadable
from studio.workshop.books import the_studio, voice_of
from studio.workshop.clock import today

__all__ = ["back", "cell", "copy", "newer_rates", "option", "price_range", "remove", "undo_change"]


@audience("designer", "GET", "POST")
def option(request: StudioRequest, public_id: str, letter: str) -> HttpResponse:
    """The page; a change of its words answers htmx with the parts that changed, a browser with the page."""
    if request.method == "GET":
        return _page(request, get_option_or_404(public_id, letter))
    form = Form.posted(request)
    try:
        found, changed = save_words(public_id, letter, form, request.user, today())
    except Unreadable:
        raise  # nothing on this page can mend it
    except Refused as refused:
        if request.headers.get("X-Typing"):  # half a word is no mistake
            return HttpResponse(status=204)
        return _refused(request, get_option_or_404(public_id, letter), form, refused)
    if not request.htmx:
        if changed.told:
            messages.info(request, changed.told)
        return _back_to(request, found)
    page = page_of(found, today(), None if changed.reworded else form, changed, view_of(request))
    return render(
        request, "commissions/call/changed.html", {**page, "changed": changed, "told": changed.told}
    )


@audience("designer", "GET")
def price_range(request: StudioRequest, public_id: str, letter: str) -> HttpResponse:
    """A part more of the range of an option's price: htmx asks for it until it is whole."""
    found = get_option_or_404(public_id, letter)
    if not request.htmx:
        return _back_to(request, found)
    try:
        return render(request, "commissions/call/range.html", range_of(found, today()))
    except Refused:
        return HttpResponse(status=204)  # the page says why


@audience("designer", "GET")
def cell(request: StudioRequest, public_id: str, letter: str) -> HttpResponse:
    """The fields of a single cell, filled with the one at a point of the drawing; nothing where there is no
    cell."""
    found = get_option_or_404(public_id, letter)
    typed = Form({name: request.GET[name] for name in request.GET})
    context = cell_page(found, typed)
    return render(request, "commissions/call/cell.html", context) if context else HttpResponse(status=204)


@audience("designer", "POST")
def newer_rates(request: StudioRequest, public_id: str, letter: str) -> HttpResponse:
    """An option keeps the rates under which it was made until the studio says so here."""
    found = get_option_or_404(public_id, letter)
    studio, was = the_studio(), main_price(found, the_studio())
    try:
        changed = move_to_newer_rates(found, today())
    except Refused as refused:
        return _refused(request, found, form_of(get_option_or_404(public_id, letter), studio), refused)
    rates, now = rates_words(found.rate_book, voice_of(studio, found.currency)), main_price(found, studio)
    price = f"its price stays {now}" if now == was else f"{was} became {now}"
    told = f"Option {found.letter} is priced with the {rates} now: {price}."
    if not request.htmx:
        messages.success(request, told)
        return redirect("option", public_id, found.letter)
    page = {**page_of(found, today(), None, changed, view_of(request)), "changed": changed, "told": told}
    return render(request, "commissions/call/changed.html", page)


@audience("designer", "POST")
def copy(request: StudioRequest, public_id: str, letter: str) -> HttpResponse:
    source = get_option_or_404(public_id, letter)
    try:
        return redirect("option", public_id, add_option(source, request.user, today()).letter)
    except Refused as refused:
        return _told(request, source, refused)


@audience("designer", "POST")
def remove(request: StudioRequest, public_id: str, letter: str) -> HttpResponse:
    found = get_option_or_404(public_id, letter)
    try:
        remove_option(found)
    except Refused as refused:
        return _told(request, found, refused)
    messages.success(request, f"Option {found.letter} is removed. It can be brought back beside the others.")
    return redirect("commission", public_id)


@audience("designer", "POST")
def back(request: StudioRequest, public_id: str, letter: str) -> HttpResponse:
    commission = get_commission_or_404(public_id)
    try:
        found = bring_back(commission, letter.upper(), today())
    except Refused as refused:
        tell(request, refused, voice_of(the_studio()))
        return redirect("commission", public_id)
    return redirect("option", public_id, found.letter)


@audience("designer", "POST")
def undo_change(request: StudioRequest, public_id: str, letter: str) -> HttpResponse:
    found, posted = get_option_or_404(public_id, letter), Form.posted(request)
    try:
        undo(found, posted.number("revision"), request.user, today())
    except Stale:
        messages.warning(request, "Somebody changed this option just now; nothing is undone.")
    except Refused as refused:
        return _told(request, found, refused)
    return redirect("option", public_id, found.letter)


def _page(request: StudioRequest, option: Option) -> HttpResponse:
    try:
        page = page_of(option, today(), view=view_of(request), reloaded=True)
    except Unreadable as unreadable:
        page = unreadable_page_of(option, today(), unreadable)
        return render(request, "commissions/call/unreadable.html", page)
    return render(request, "commissions/call/call.html", page)


def _back_to(request: StudioRequest, option: Option) -> HttpResponse:
    """The option's page, with the drawing as it was seen."""
    page = redirect("option", option.commission.public_id, option.letter)
    if (view := view_of(request)) != "front":
        page["Location"] += f"?view={view}"
    return page


def _told(request: StudioRequest, found: Option, refused: Refused) -> HttpResponse:
    tell(request, refused, voice_of(the_studio()))
    return redirect("option", found.commission.public_id, found.letter)


def _refused(request: StudioRequest, found: Option, posted: Form, refused: Refused) -> HttpResponse:
    """The last design that worked stays; what was typed stays too, with the problem beside it. What others
    changed meanwhile is shown as it stands now."""
    template = "commissions/call/refused.html" if request.htmx else "commissions/call/call.html"
    merged = refused.form if isinstance(refused, Reshown) else posted
    moved = merged.refused(refused).clashes or bool(merged.told or posted["seen"])
    form = (merged if moved else posted).refused(refused)
    shown = whole_form(found, form) if moved or not request.htmx else form
    page = {**page_of(found, today(), shown, view=view_of(request)), "moved": moved}
    return render(request, template, page, status=409 if form.clashes else 422)
