"""What a client gets tells nothing of cost, margin, overhead, rates or shares: neither by name nor by sum."""

import io
import json
import re
from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest
from pypdf import PdfReader

from studio.estimate.estimate import estimate
from studio.estimate.example import example_question
from studio.lattice.design import AllOver, Infill, Space
from studio.money import round_money
from studio.pricing.terms import Discount, Terms
from studio.proposals.freeze import OptionSent, unpacked
from studio.proposals.pdf import render_pdf
from studio.proposals.shown import shown, voice_in
from studio.proposals.stored import read
from tests.estimate.said import SAID, TAPED
from tests.proposals.by_hand import frozen

pytestmark = pytest.mark.one_engine

STUDIOS_OWN = re.compile(
    "cost|margin|overhead|working(?!_days)|rate_book|roles|referral|commission|share|markup|lines?$"
)
CLIENTS = {"costs_sha256", "client_lines", "cost_a_year"}
"""Keys that look like the studio's own: the digest of a salted document, the client's own lines, and what a
light takes from the client's socket."""
MONEY = re.compile(r"£[\d,.]*\d")
AMOUNT = re.compile(r"-?\d+\.\d{2}\b")

SMALL = Space(widths_mm=(Decimal(420),), heights_mm=(Decimal(360),), **TAPED)
OVER = AllOver(infill=Infill(pattern="hemp-leaf", filament="Tea"))
BRIEFS = {
    "business": (SMALL, Terms(client_kind="business"), {}),
    "consumer, hung": (
        SMALL, Terms(client_kind="consumer", delivery="delivered and hung", distance_km=Decimal(23)), {}
    ),
    "unmeasured, lit": (replace(SMALL, **SAID), Terms(client_kind="consumer"), {"lit": True}),
    "by referral, less 7 %": (
        SMALL,
        Terms(
            client_kind="business",
            referral=True,
            discount=Discount(kind="percent", value=Decimal(7), reason="for Zoë"),
        ),
        {"backing": "diffuser"},
    ),
}  # fmt: skip


def sent(name: str) -> OptionSent:
    space, terms, design = BRIEFS[name]
    question = example_question()
    brief = replace(
        question.brief,
        space=space,
        terms=terms,
        design=replace(question.brief.design, arrangement=OVER, **design),
    )
    book = question.rate_book
    found = estimate(brief, book, question.shop_state, date(2026, 3, 2))
    colours = {filament.name: filament.colour for filament in book.filaments}
    return OptionSent("A", found, colours, "Hemp leaf in tea all over.", book, "r" * 64)


@pytest.fixture(scope="module", params=list(BRIEFS))
def made(request):
    option = sent(request.param)
    return option, frozen(option)


def keys(value):
    if isinstance(value, dict):
        yield from value
    for part in value.values() if isinstance(value, dict) else value if isinstance(value, list) else ():
        yield from keys(part)


def amounts(value):
    """Texts that are sums of money, and those within longer texts, such as inputs of workings."""
    if isinstance(value, str):
        yield from map(Decimal, AMOUNT.findall(value))
    for part in value.values() if isinstance(value, dict) else value if isinstance(value, list) else ():
        yield from amounts(part)


def secrets(made):
    """Amounts that stand in the costs and not in the figures."""
    figures, costs = json.loads(made.figures), json.loads(unpacked(made.costs))["options"]
    return {abs(amount) for amount in amounts(costs)} - {abs(amount) for amount in amounts(figures)}


def written(amounts, voice):
    return {voice.money(round_money(amount, voice.currency)) for amount in amounts}


def test_no_key_of_the_figures_is_the_studios_own(made):
    figures = json.loads(made[1].figures)
    assert not {key for key in keys(figures) if key not in CLIENTS and STUDIOS_OWN.search(key)}


def test_every_cost_and_margin_is_in_the_costs_and_in_no_figure(made):
    option, documents = made
    hidden, price = secrets(documents), option.estimate.price
    own = {abs(line.amount) for line in price.lines} - {abs(line.amount) for line in price.client_lines}
    assert {price.cost, *own} - {Decimal(0), *amounts(json.loads(documents.figures))} <= hidden
    assert price.cost in hidden
    assert len(hidden) > 20
    assert hidden.isdisjoint(amounts(json.loads(documents.figures)))


def test_no_secret_sum_is_in_what_is_shown_or_printed(made):
    option, documents = made
    figures = json.loads(documents.figures)
    voice, sheet = voice_in(figures), shown(figures, "for Zoë")
    pages = PdfReader(io.BytesIO(render_pdf(documents, (option,)))).pages
    paper = " ".join(page.extract_text() for page in pages)
    told = set(MONEY.findall(f"{sheet} {paper}"))
    assert told
    assert told.isdisjoint(written(secrets(documents), voice))
    assert not re.search("margin|overhead|markup|referral", paper, re.IGNORECASE)


@pytest.fixture
def addresses(issue, commission):
    return f"/p/{issue.links.get().token}/", f"/proposals/for/{commission.public_id}/"


def test_the_clients_page_and_the_studios_list_read_neither_making_nor_costs(
    client, signed_in, addresses, django_assert_max_num_queries
):
    """But for the first list: what might come is dated from a making once, and kept."""
    signed_in.get(addresses[1])
    for browser, address in zip((client, signed_in), addresses, strict=True):
        with django_assert_max_num_queries(40) as asked:
            assert browser.get(address).status_code == 200
        issues = [query["sql"] for query in asked if "proposals_proposalissue" in query["sql"]]
        assert any('"figures"' in sql for sql in issues)
        assert not [sql for sql in issues if '"making"' in sql or '"costs"' in sql]


def test_the_page_shows_no_secret_sum(client, issue, addresses):
    told = set(MONEY.findall(client.get(addresses[0]).content.decode()))
    assert told
    assert told.isdisjoint(written(secrets(issue), voice_in(read(issue).figures)))
