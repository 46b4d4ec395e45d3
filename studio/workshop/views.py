"""The workshop: the studio itself, its rates, its calendar."""

from collections.abc import Iterable
from datetime import date
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse

from studio.estimate.cautions import CAUTIONS
from studio.forms import Form, form_page
from studio.people.audience import StudioRequest, audience, may_change
from studio.people.models import User
from studio.pricing.rate_book import RateBook
from studio.problem import Problem
from studio.workshop.books import current_revision, later_books, readable_book, the_studio, voice_of
from studio.workshop.calendar_form import DAYS, ZONES, add_line, calendar_form, save_calendar, strays
from studio.workshop.choices import CHOICES, tax_points
from studio.workshop.clock import today
from studio.workshop.jobs_shown import jobs_shown, taken_shown
from studio.workshop.models import Studio
from studio.workshop.rates_pages import (
    RATES_PAGES,
    RatesPage,
    add_row,
    examples_in,
    rates_form,
    save_rates,
    start_in_currency,
)
from studio.workshop.set_on import examples, rates_of
from studio.workshop.shop import readable_calendar
from studio.workshop.studio_form import save_studio, studio_form
from studio.workshop.undone import undone_on

__all__ = ["calendar", "cautions", "rates", "studio", "workshop_page"]


@audience("designer", "GET", "POST", to_change="owner")
def studio(request: StudioRequest) -> HttpResponse:
    """Name, address, language, voice, paper and texts."""
    found = the_studio()
    form = studio_form(found)
    if request.method == "POST":
        posted = Form.posted(request)
        form, done = posted.attempt(lambda: save_studio(posted, request.user))
        if done:
            messages.success(request, f"The studio’s details are saved. {done[1]}")
            return redirect("workshop")
    choices = {"all_units": Studio.Units.choices, "papers": Studio.Paper.choices}
    _revision, book, unread = readable_book(today())
    return workshop_page(request, "studio", form, book, unread, **choices)


@audience("designer", "GET", "POST", to_change="owner")
def rates(request: StudioRequest, slug: str) -> HttpResponse:
    """One section of the rate book that holds today, or on the day `on` that is asked for; lines are added
    and taken away before anything is saved."""
    section = RATES_PAGES.get(slug)
    if section is None:
        raise Http404
    on = _asked_day(request)
    form = rates_form(section, readable_book(on)[1], on)
    if request.method == "POST":
        posted = Form.posted(request)
        if posted["add"] or posted["remove"]:
            added = add_row(posted, section, posted["add"]) if posted["add"] else posted
            form = added.without(posted["remove"])
        else:
            form, done = posted.attempt(lambda: save_rates(section, posted, request.user, today()))
            if done:
                return _saved(request, slug, done[0].effective_from, done[1])
    return _rates_page(request, section, form, on)


@audience("owner", "POST")
def new_currency(request: StudioRequest) -> HttpResponse:
    """A new rate book, whose amounts are all to be set; what was typed of the old one's is not taken over."""
    posted = Form.posted(request)
    form, made = posted.attempt(lambda: start_in_currency(posted, request.user, today()))
    if made is None:
        return _rates_page(request, RATES_PAGES["price"], form, _asked_day(request))
    start = voice_of(the_studio()).day(made.effective_from)
    told = f"A new rate book in {made.currency} holds from {start}. Every amount in it is to be set."
    messages.success(request, told)
    return redirect(reverse("workshop-rates", args=["filaments"]) + _asking(made.effective_from))


def _rates_page(request: StudioRequest, section: RatesPage, form: Form, on: date) -> HttpResponse:
    revision, book, unread = readable_book(on)
    held = [current_revision(today()), *later_books(today())]
    return workshop_page(
        request,
        section.slug,
        form,
        book,
        unread,
        section=section,
        section_examples=len(examples_in(section, book)),
        shown=revision,
        now=held[0],
        others=[each for each in held if each.effective_from != revision.effective_from],
        asked=_asking(on),
        undone=list(undone_on(section)),
        tax_points=tax_points(the_studio().locale),
    )


def _asked_day(request: StudioRequest) -> date:
    """Rates that no longer hold are not to be changed: no day before today."""
    try:
        return max(date.fromisoformat(request.GET.get("on", "")), today())
    except ValueError:
        return today()


def _saved(request: StudioRequest, slug: str, start: date, told: str) -> HttpResponse:
    day = voice_of(the_studio()).day
    later = [f", until those saved for {day(each.effective_from)}" for each in later_books(start)[:1]]
    messages.success(request, f"Saved: these rates hold from {day(start)}{''.join(later)}. {told}")
    return redirect(reverse("workshop-rates", args=[slug]) + _asking(start))


def _asking(on: date) -> str:
    return f"?on={on.isoformat()}" if on > today() else ""


@audience("workshop", "GET", "POST")
def calendar(request: StudioRequest) -> HttpResponse:
    """Working days, hours, stock and promises: they move dates, no price of an option that there is."""
    _revision, book, unread = readable_book(today())
    form = calendar_form(book)
    if request.method == "POST":
        posted = Form.posted(request)
        if posted["add"] or posted["remove"]:
            form = (
                add_line(posted, posted["add"], book) if posted["add"] else posted.without(posted["remove"])
            )
        else:
            form, done = posted.attempt(lambda: save_calendar(posted, request.user, book))
            if done:
                messages.success(request, f"The calendar and the stock are saved. {done[1]}")
                return redirect("workshop-calendar")
    saved, unread_calendar = readable_calendar()
    unread += unread_calendar
    voice = voice_of(the_studio())
    shown = {"strays": strays(saved, voice), "jobs": jobs_shown(voice, today(), book)}
    shown |= {"taken": taken_shown(voice, today(), book)}
    shown |= {"job_printers": [("", "no printing"), *((each.name, each.name) for each in book.printers)]}
    return workshop_page(request, "calendar", form, book, unread, days=DAYS, zones=ZONES, **shown)


@audience("workshop", "GET")
def cautions(request: StudioRequest) -> HttpResponse:
    """Every caution with its rule and source, to be read."""
    _revision, book, unread = readable_book(today())
    return workshop_page(request, "cautions", Form({}), book, unread, cautions=CAUTIONS)


def workshop_page(
    request: StudioRequest, slug: str, form: Form, book: RateBook, unread: Iterable[Problem], **more: Any
) -> HttpResponse:
    """One page of the workshop between its tabs; `unread` is what cannot be read of what
    was saved last, `folder` that of its template."""
    return form_page(
        request,
        f"{more.pop('folder', 'workshop')}/{slug}.html",
        form,
        tabs=_tabs(request.user),
        here=slug,
        may_change=may_change(request),
        examples=len(examples(book)),
        all_rates=len(rates_of(book)),
        unread=unread,
        swap_minutes=book.hours.swap_minutes,
        printers=[(printer.name, printer.name) for printer in book.printers],
        roles=_typed(form, "roles.", ".name") or [(role, role) for role in book.roles],
        tax_codes=[("", "as the commission"), *_typed(form, "tax.", ".code")],
        **CHOICES,
        **more,
    )


def _tabs(user: User) -> list[tuple[str, str, str, str]]:
    """Address, slug, title and key of each page that this person may open."""
    tabs = [("workshop", "", "Studio", "studio")]
    tabs += [("workshop-rates", each.slug, each.title, each.slug) for each in RATES_PAGES.values()]
    shared = [("workshop-calendar", "", "Calendar and stock", "calendar")]
    shared += [("workshop-measured", "", "Measured plates", "measured")]
    shared += [("workshop-cautions", "", "Cautions", "cautions")]
    patterns = [("workshop-patterns", "", "Patterns", "patterns")]
    return [*tabs, *shared, *patterns] if user.is_designer else shared


def _typed(form: Form, start: str, end: str) -> list[tuple[str, str]]:
    """The texts of one column of a list as they are typed on the page, saved or not."""
    texts = [text for name, text in form.values.items() if name.startswith(start) and name.endswith(end)]
    return [(text, text) for text in texts if text]
