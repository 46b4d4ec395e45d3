"""A studio in each of four manners, read from end to end: no figure is in the manner of another one.

Every page is found by following the links of the site from its first page, as a visitor would.
"""

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any
from urllib.parse import urljoin

import pytest
from django.core import mail
from django.db import transaction
from django.test import Client as Browser
from django.utils import timezone

from studio.board.demo import load_demo
from studio.commissions.call.whole_form import form_of
from studio.commissions.models import Commission, Option
from studio.estimate.moves import MAY_MOVE
from studio.lattice.length import parse_length
from studio.people.models import User
from studio.pricing.example_rates import example_rate_book
from studio.proposals.models import Link, ProposalIssue
from studio.typed_lengths import shown_length
from studio.voice import Voice
from studio.workshop.books import LONG_AGO, save_book, the_studio
from tests.conftest import PASSWORD
from tests.read_aloud import Page, read_page, read_pdf

pytestmark = pytest.mark.django_db
HTMX = {"HX-Request": "true"}
ALL_MAY = {f"may.{index}": "on" for index in range(len(MAY_MOVE))}


@dataclass(frozen=True)
class Manner:
    voice: Voice
    paper: str
    symbol: str


MANNERS = {
    "en_GB": Manner(Voice("en_GB", "metric", "GBP"), "A4", "£"),
    "en_US": Manner(Voice("en_US", "imperial", "USD"), "letter", "$"),
    "de_DE": Manner(Voice("de_DE", "metric", "EUR"), "A4", "€"),
    "ja_JP": Manner(Voice("ja_JP", "metric", "JPY"), "A4", "¥"),
}

COMMA_DECIMALS = re.compile(r"(?<![\d.,])\d+,\d{1,2}(?![\d,]|\.\d)")
POINT_THOUSANDS = re.compile(r"(?<![\d.,])[1-9]\d{0,2}(?:\.\d{3})+,\d")
POINT_DECIMALS = re.compile(r"(?<![\d.,])\d+\.\d{1,2}(?![\d.]|,\d)")
COMMA_THOUSANDS = re.compile(r"(?<![\d.,])[1-9]\d{0,2}(?:,\d{3})+(?![\d,])")
METRIC = re.compile(
    r"\d ?(?:mm|cm|m|kg|g|km|millimetres?|metres?|grams?|kilometres?)\b|\b(?:in|sizes in) mm\b|\bkm\b"
)
IMPERIAL = re.compile(r'\d ?(?:"|″|lb\b|oz\b|mi\b|ft\b|miles\b|inch(?:es)?\b)|\bsizes in inches\b')
FRACTIONS_OF_YEN = re.compile(r"¥\d[\d,]*\.\d")
NOUNS = "piece|cell|section|module|plate|hanger|day|message|issue|spool|commission|option|working day|part"
ONE_OF_MANY = re.compile(rf"(?<![\d.,/:½])\b1 (?:[a-z]+ )?(?:{NOUNS})s\b")
MANY_OF_ONE = re.compile(rf"(?<![\d.,/:])\b(?:0|[2-9]|\d[\d.,]*\d) (?:{NOUNS})\b(?! side| by)")

FIGURE = r"[-−]?[\d.,]+"
EXCEPTIONS = {
    "a working multiplies in the unit in which its rate is given": (
        rf"{FIGURE} [^\n(]+ \((?:computed|counted|brief|example rate|your rate[^)]*)\)",
        rf"(?<=\n){FIGURE} (?:kg|g|kWh|h|m|m²|km|each)(?=\n)",
    ),
    "filament is bought, kept and weighed by the gram": (
        rf"(?<=\n){FIGURE} g(?=\nbuy|\non the shelf)", rf"(?<=min, ){FIGURE} g(?=\n)",
    ),
    "what may be typed is shown by examples in all units": (
        r"As (?:it is said|people say it)[^\n]*", r"“About 2 m”[^\n]*",
    ),
    "fields and their examples have a point, as documents do; a comma is understood": (
        r"17\.5 is half past five", r"0\.\d+ is (?:an example|one in a hundred|common practice)",
        r"0\.99 with steps of 1 makes 12\.99", r"(?<=\n)[\d.]+ mm²(?=\n)",
    ),
    "addresses are drawn": (r"\b[0-9a-z]{12}\b",),
    "what a studio called its goods is its own": (r"3 mm (?:board|opal)", r"Lead, 2 × [\d.]+ mm²"),
    "both papers and both units are offered": (
        r"Paper\nA4\nUS Letter", r"millimetres and metres\nfeet and inches",
    ),
    "filament has one of two diameters, and is made to millimetres": (r"Diameter\n1\.75\n2\.85",),
}  # fmt: skip
"""Why a text may hold what is foreign otherwise."""


def foreign(manner: Manner) -> list[re.Pattern[str]]:
    """What no text may hold in this manner."""
    found = [ONE_OF_MANY, MANY_OF_ONE, METRIC if manner.voice.units == "imperial" else IMPERIAL]
    found += [re.compile(re.escape(m.symbol)) for m in MANNERS.values() if m.symbol != manner.symbol]
    found.append(re.compile(r"\bA4\b" if manner.paper == "letter" else r"\bLetter\b"))
    if manner.voice.locale == "de_DE":
        return [*found, POINT_DECIMALS, COMMA_THOUSANDS]
    return [*found, COMMA_DECIMALS, POINT_THOUSANDS, FRACTIONS_OF_YEN]


ON_POSTGRESQL = "ja_JP"
"""One manner asks for every page there, too."""
IN_TURN = [
    pytest.param(name, marks=() if name == ON_POSTGRESQL else pytest.mark.one_engine) for name in MANNERS
]


@pytest.fixture(scope="module", params=IN_TURN)
def demo(
    request: pytest.FixtureRequest, django_db_setup: None, django_db_blocker: Any
) -> Iterator[tuple[Manner, User]]:
    """The demo studio in one of the manners and its owner, loaded once for all that is read in it: each test
    goes back to it."""
    with django_db_blocker.unblock(), transaction.atomic():
        yield MANNERS[request.param], load_in(MANNERS[request.param])
        transaction.set_rollback(True)


@pytest.fixture
def manner(demo: tuple[Manner, User]) -> Manner:
    return demo[0]


@pytest.fixture
def signed_in(demo: tuple[Manner, User], client: Browser) -> Browser:
    client.force_login(demo[1])
    return client


def load_in(manner: Manner) -> User:
    """What people wrote of themselves is not ours to judge."""
    owner = User.objects.create_user(
        "runa@studio.example", PASSWORD, display_name="Runa", role=User.Role.OWNER
    )
    studio = the_studio()
    studio.locale, studio.units, studio.paper = manner.voice.locale, manner.voice.units, manner.paper
    studio.save()
    book = replace(example_rate_book(), currency=manner.voice.currency)
    if manner.voice.currency == "JPY":
        book = replace(book, rounding_step=Decimal(10))
    save_book(book, owner, LONG_AGO)
    for commission in load_demo(owner, timezone.now()):
        commission.space.notes, commission.space.typed = "", {}
        commission.space.save(update_fields=["notes", "typed"])
    return owner


def visited(browser: Browser, *starts: str) -> dict[str, Page]:
    """Every page that links lead to, by its address."""
    found: dict[str, Page] = {}
    to_see = list(starts)
    while to_see:
        address = to_see.pop()
        if address in found or not address.startswith("/") or "/static/" in address:
            continue
        answer = browser.get(address, follow=True)
        assert answer.status_code == 200, address
        page = found[address] = page_in(answer)
        to_see += [urljoin(address, link).partition("#")[0] for link in page.links]
    return found


def page_in(answer: object) -> Page:
    content = b"".join(answer) if answer.streaming else answer.content  # type: ignore[attr-defined]
    if answer["Content-Type"] == "application/pdf":  # type: ignore[index]
        return read_pdf(content)
    return read_page(content.decode())


def mistakes(manner: Manner, name: str, page: Page) -> dict[str, str]:
    text = page.spoken
    for patterns in EXCEPTIONS.values():
        for pattern in patterns:
            text = re.sub(pattern, "", text)
    return {
        text[max(0, hit.start() - 40) : hit.end() + 20]: name
        for pattern in foreign(manner)
        for hit in pattern.finditer(text)
    }


def refuse_mistakes(manner: Manner, pages: dict[str, Page]) -> None:
    wrong: dict[str, str] = {}
    for name, page in pages.items():
        wrong |= mistakes(manner, name, page)
        assert page.language in ("", "en-GB"), name
    assert not wrong, "\n".join(f"{where}: {what!r}" for what, where in wrong.items())


def test_every_page_speaks_in_the_studios_manner(manner: Manner, signed_in: Browser) -> None:
    pages = visited(signed_in, "/", *(f"/p/{link.token}/" for link in Link.objects.filter(revoked_at=None)))
    for part in ("/p/", "/pdf/", "/money/", "/making/", "/fits/", "/budget/", "view=space", "/workshop/"):
        assert any(part in name for name in pages), part
    refuse_mistakes(manner, pages)
    for name, page in pages.items():
        if manner.voice.units == "imperial" and not name.startswith("/workshop/"):
            lengths = [text for text in page.typed if text.endswith(" mm")]
            assert [shown_length(parse_length(text).mm, manner.voice) for text in lengths] == lengths, name


@pytest.mark.one_engine
def test_what_is_answered_speaks_so_too(manner: Manner, signed_in: Browser) -> None:
    """A changed word, words that are refused, a range of fits, a budget, an issue without a price."""
    option = Option.objects.get(commission=Commission.objects.get(title__startswith="Houseboat"), letter="A")
    here = f"/commissions/{option.commission.public_id}/options/A/"
    words = form_of(option, the_studio()).values
    asked = {
        "deeper": {"design.depth_mm": "12.7"}, "too small": {"design.cell_side_mm": "5"},
        "too deep": {"design.infill_depth_mm": "60"}, "no room": {"space.widths_mm.0": "60"},
        "out of reach": {"terms.distance_km": "99999"}, "thin": {"design.infill_strip_mm": "0.8"},
        "stuck": {"space.way_in.width_mm": "12"}, "many": {"design.columns": "399"},
        "edged": {"design.edging_width_mm": "400"}, "deep": {"design.depth_mm": "490"},
        "heavy": {"space.widths_mm.0": "3000", "space.heights_mm.0": "2400", "space.way_in.length_mm": "9 m"},
    }  # fmt: skip
    pages = {
        name: page_in(signed_in.post(here, {**words, **changed}, headers=HTMX))
        for name, changed in asked.items()
    }
    pages["fits"] = page_in(signed_in.get(here + "fits/", {"cell_side_mm": "1 mm", "side_play_percent": "5"}))
    pages["budget"] = page_in(signed_in.get(here + "budget/", {"figure": "150", "basis": "gross", **ALL_MAY}))
    said = " ".join(page.spoken for page in pages.values())
    for told in ("at least", "at most", "instead of", "would have strips", "two beads take"):
        assert told in said, told
    refuse_mistakes(manner, pages)


@pytest.mark.one_engine
def test_letters_and_messages_speak_so_too(
    manner: Manner, signed_in: Browser, client: Browser, committed: Callable[[], Any]
) -> None:
    issue = ProposalIssue.objects.filter(state="issued").earliest("pk")
    link = issue.links.get(revoked_at=None)
    client.post(f"/p/{link.token}/message/", {"text": "When could it be here?"})
    with committed():
        signed_in.post(f"/proposals/issues/{issue.public_id}/send/", {"after": "0"})
    (letter,) = mail.outbox
    assert letter.extra_headers["Content-Language"] == "en-GB"
    attached = read_pdf(letter.attachments[0][1])
    written = read_page(letter.body)
    told = page_in(client.get(f"/p/{link.token}/"))
    assert attached.language == "en-GB"
    assert "sent " in told.spoken
    listed = page_in(signed_in.get("/letters/"))
    refuse_mistakes(manner, {"letter": written, "PDF": attached, "client's page": told, "letters": listed})
