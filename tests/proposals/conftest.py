"""A commission with two small options, priced by the real line at rates that are the studio's own."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest
from django.utils import timezone

from studio.clients.models import Client, Space
from studio.commissions.estimating import reprice
from studio.commissions.models import Commission, Option
from studio.document import dump
from studio.lattice import design as lattice
from studio.making.promised_day import PromisedDay
from studio.pricing.terms import Terms
from studio.proposals.days import days_named, promises_of
from studio.proposals.issuing import issue_proposal
from studio.proposals.models import ProposalIssue
from studio.proposals.standing import Reply
from studio.proposals.stored import read
from studio.stored.kinds import SPACE, TERMS
from studio.workshop.books import current_book
from studio.workshop.clock import today
from tests.estimate.said import SAID, TAPED
from tests.proposals.rendered import render_once
from tests.workshop.set_up import set_up


def small_design(filament: str = "Tea", pattern: str = "hemp-leaf") -> lattice.Design:
    infill = lattice.Infill(pattern=pattern, filament=filament)
    return lattice.Design(
        lattice_filament="Walnut",
        edging_filament="Walnut",
        arrangement=lattice.AllOver(infill=infill),
    )


def make_commission(client: Client | None, measured: bool = True) -> Commission:
    set_up()
    origins = TAPED if measured else SAID
    document = lattice.Space(widths_mm=(Decimal(320),), heights_mm=(Decimal(260),), **origins)
    place = Space.objects.create(client=client, name="Reception niche", document=SPACE.write(document))
    terms = Terms(client_kind="business", distance_km=Decimal(12))
    return Commission.objects.create(
        title="Niche panel", client=client, space=place, terms=TERMS.write(terms)
    )


def add_option(commission: Commission, letter: str, design: lattice.Design) -> Option:
    revision, book = current_book(date(2026, 3, 2))
    option = Option(
        commission=commission,
        letter=letter,
        design=dump(design),
        rate_book=revision,
        currency=book.currency,
    )
    reprice(option, date(2026, 3, 2))
    option.save()
    return option


def yes_to(issue: ProposalIssue, letter: str = "A", **more) -> Reply:
    """A complete yes of today, to the day that the page names."""
    named = days_named(issue, read(issue), today())[letter]
    ready_on = named.ready_on if isinstance(named, PromisedDay) else None
    said = Reply(
        "approved", letter, "Ms Adeyemi", "the owner", "page", issue.seal, today(), ready_on=ready_on
    )
    return replace(said, **{"ready_on": ready_on, **more})


def days_posted(issue: ProposalIssue) -> dict[str, str]:
    """The hidden fields of a page that names the days of the issue."""
    promised = promises_of(read(issue).figures)
    return {f"ready_on_{letter}": promise.ready_on.isoformat() for letter, promise in promised.items()}


@pytest.fixture(autouse=True)
def _quick(monkeypatch):
    render_once(monkeypatch)


@pytest.fixture
def ms_adeyemi(db):
    return Client.objects.create(
        name="Ms Adeyemi", kind="business", email="a@client.example", address="2 Mill Road"
    )


@pytest.fixture
def commission(ms_adeyemi):
    made = make_commission(ms_adeyemi)
    add_option(made, "A", small_design())
    add_option(made, "B", small_design("Indigo", "tortoiseshell"))
    return made


@pytest.fixture
def issue(commission, owner):
    return issue_proposal(commission, ("A", "B"), owner, timezone.now())


@pytest.fixture
def link(issue):
    return issue.links.get()
