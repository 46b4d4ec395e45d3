"""The page of a drilling template, and its files."""

from dataclasses import replace
from html import unescape
from io import BytesIO

import pytest
from django.test import Client as Browser
from pypdf import PdfReader

from studio.commissions.call.whole_form import form_of
from studio.commissions.models import Option
from studio.hanging.catalogue import Hanger
from studio.workshop.books import current_book, save_book, the_studio
from studio.workshop.clock import today
from tests.commissions.conftest import start

HOOK = Hanger(code="hook", text="Hook", rating_g=20_000)


@pytest.fixture
def hung(signed_in: Browser) -> str:
    """An option made with a rate book that has a hanger."""
    book = current_book(today())[1]
    save_book(replace(book, hangers=(HOOK,)), None, today())
    option = start(signed_in)
    return f"/commissions/{option.commission.public_id}/options/A/"


def test_holes_are_told_and_the_option_leads_there(signed_in: Browser, hung: str) -> None:
    assert "drilling/" in signed_in.get(hung).content.decode()
    page = unescape(signed_in.get(f"{hung}drilling/").content.decode())
    assert "Hole 1: on the level line, " in page
    assert "of the centre line; carries up to " in page
    assert "(BS 7671, 522.6.202)" in page  # the studio is in Great Britain


@pytest.mark.parametrize(("name", "pages"), [("a4.pdf", 3), ("letter.pdf", 3), ("one.pdf", 1)])
def test_files_are_pdfs(signed_in: Browser, hung: str, name: str, pages: int) -> None:
    """600 mm wide: a plan, and two tiles turned, each 0.27 m, for 0.47 m of wall."""
    found = signed_in.get(f"{hung}drilling/{name}")
    assert found["Content-Type"] == "application/pdf"
    assert len(PdfReader(BytesIO(found.content)).pages) == pages


def test_an_svg_is_at_full_size(signed_in: Browser, hung: str) -> None:
    found = signed_in.get(f"{hung}drilling/one.svg").content.decode()
    assert 'width="594mm" height="420mm" viewBox="0 0 594 420"' in found
    assert signed_in.get(f"{hung}drilling/two.svg").status_code == 404


def test_a_hanger_is_chosen_on_the_call_page(signed_in: Browser, hung: str) -> None:
    page = signed_in.get(hung).content.decode()
    assert '<option value="hook">Hook</option>' in page
    option = Option.objects.latest("pk")
    words = form_of(option, the_studio()).values | {"design.hanger": "hook"}
    signed_in.post(hung, words)
    assert Option.objects.get(pk=option.pk).design["hanger"] == "hook"


def test_without_hangers_in_the_rate_book_it_says_so(signed_in: Browser, option: Option) -> None:
    place = f"/commissions/{option.commission.public_id}/options/A/"
    assert "drilling/" not in signed_in.get(place).content.decode()
    page = signed_in.get(f"{place}drilling/")
    assert page.status_code == 200
    assert "Nothing says where this panel hangs" in page.content.decode()
    assert signed_in.get(f"{place}drilling/a4.pdf").status_code == 422
