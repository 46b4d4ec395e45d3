"""Clients: found, opened, written down."""

from django.contrib import messages
from django.db.models import Count, Q
from django.http import HttpResponse
from django.shortcuts import redirect, render

from studio.clients.access import get_client_or_404
from studio.clients.details import form_of, save_client
from studio.clients.models import Client
from studio.clients.space_form import space_words
from studio.commissions.price_first import main_price, tax_words
from studio.forms import Form, form_page
from studio.people.audience import StudioRequest, audience
from studio.workshop.books import readable_book, the_studio, voice_of
from studio.workshop.clock import today

__all__ = ["client", "clients", "edit", "new"]

MOST_LISTED = 200
KINDS = (("consumer", "a private person"), ("business", "a business"))


@audience("designer", "GET")
def clients(request: StudioRequest) -> HttpResponse:
    """All clients, or those that match what is searched for."""
    wanted = request.GET.get("q", "").strip()[:200]
    found = Client.objects.filter(erased_at=None).annotate(open=Count("commissions", distinct=True))
    if wanted:
        matching = Q(name__icontains=wanted) | Q(email__icontains=wanted) | Q(phone__icontains=wanted)
        found = found.filter(matching | Q(contacts__name__icontains=wanted)).distinct()
    template = "commissions/clients/found.html" if request.htmx else "commissions/clients/list.html"
    return render(request, template, {"clients": found[:MOST_LISTED], "wanted": wanted})


@audience("designer", "GET", "POST")
def new(request: StudioRequest) -> HttpResponse:
    return _form(request, Client())


@audience("designer", "GET", "POST")
def edit(request: StudioRequest, public_id: str) -> HttpResponse:
    return _form(request, get_client_or_404(public_id))


@audience("designer", "GET")
def client(request: StudioRequest, public_id: str) -> HttpResponse:
    found = get_client_or_404(public_id, even_erased=True)
    studio = the_studio()
    commissions = [
        (
            each,
            tax_words(each, each.options.all()),
            [(option.letter, main_price(option, studio)) for option in each.options.all()],
        )
        for each in found.commissions.select_related("space").prefetch_related("options")
    ]
    spaces = [(space, space_words(space, voice_of(studio))) for space in found.spaces.all()]
    page = {"client": found, "commissions": commissions, "spaces": spaces}
    return render(request, "commissions/clients/detail.html", page)


def _form(request: StudioRequest, client: Client) -> HttpResponse:
    voice = voice_of(the_studio())
    form = form_of(client, voice)
    if request.method == "POST":
        posted = Form.posted(request)
        form, done = posted.attempt(lambda: save_client(posted, client, voice, request.user))
        if done:
            saved, told = done
            messages.success(request, f"{saved.name} is saved. {told}")
            return redirect("client", saved.public_id)
    _revision, book, _unread = readable_book(today())
    taxes = [(tax.code, tax.text) for tax in book.tax]
    rows = sum(name.startswith("contacts.") and name.endswith(".name") for name in form.values)
    more = not rows or bool(form[f"contacts.{rows - 1}.name"])  # always an empty one for somebody else
    lines = [f"contacts.{index}" for index in range(rows + more)]
    page = {"client": client, "taxes": taxes, "lines": lines, "kinds": KINDS, "voice": voice}
    page |= {
        "prices": Client.Prices.choices,
        "untaxed": all(tax.treatment == "untaxed" for tax in book.tax),
    }
    return form_page(request, "commissions/clients/edit.html", form, **page)
