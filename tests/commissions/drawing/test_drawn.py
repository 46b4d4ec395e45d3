"""The drawing's views: chosen by address, kept through changes, none of them without the page."""

import re

import pytest
from django.test import Client as Browser

from studio.commissions.drawing.drawn import VIEWS
from studio.commissions.models import Option
from tests.commissions.conftest import Words

pytestmark = pytest.mark.one_engine

HTMX = {"HX-Request": "true"}


def figure(page: str) -> str:
    found = re.search(r'<figure id="drawing".*?</figure>', page, re.S)
    assert found
    return found[0]


@pytest.mark.parametrize("view", VIEWS)
def test_a_view_is_an_address(signed_in: Browser, address: str, view: str) -> None:
    shown = figure(signed_in.get(address, {"view": view}).content.decode())
    classes = {"front": "elevation", "sections": "section-plan", "lit": "lit", "space": "space"}
    assert f'class="drawing {classes[view]}"' in shown
    assert shown.count("<svg xmlns") == 1 + shown.count('class="patch"')
    assert re.search(rf'\?view={view}"[^>]*aria-current="true"', shown)
    assert shown.count("aria-current") == 1


@pytest.mark.parametrize("view", ["", "nothing", "<script>", "front elevation"])
def test_no_such_view_is_the_front(signed_in: Browser, address: str, view: str) -> None:
    shown = figure(signed_in.get(address, {"view": view}).content.decode())
    assert 'class="drawing elevation"' in shown
    assert "<script" not in shown


def test_a_changed_word_keeps_the_view(signed_in: Browser, address: str, words: Words) -> None:
    page = signed_in.get(address, {"view": "lit"}).content.decode()
    assert '<input type="hidden" name="view" value="lit" form="words">' in page
    changed = words(**{"design.cell_side_mm": "60 mm", "view": "lit"})
    assert 'class="drawing lit"' in figure(signed_in.post(address, changed, headers=HTMX).content.decode())


def test_without_htmx_a_changed_word_keeps_the_view(signed_in: Browser, address: str, words: Words) -> None:
    answer = signed_in.post(address, words(**{"design.cell_side_mm": "60 mm", "view": "space"}))
    assert answer.status_code == 302
    assert answer["Location"] == f"{address}?view=space"
    answer = signed_in.post(address, words(**{"design.cell_side_mm": "50 mm", "view": "front"}))
    assert answer["Location"] == address


def test_a_refused_word_keeps_the_view(signed_in: Browser, address: str, words: Words) -> None:
    answer = signed_in.post(address, words(**{"design.cell_side_mm": "none", "view": "sections"}))
    assert answer.status_code == 422
    assert 'class="drawing section-plan"' in figure(answer.content.decode())


def test_the_palette_counts_every_piece(signed_in: Browser, address: str, option: Option) -> None:
    shown = figure(signed_in.get(address).content.decode())
    counts = [int(count.replace(",", "")) for count in re.findall(r'<td class="number">([\d,]+)</td>', shown)]
    drawn = re.search(r'<g class="infills">(.*?)</g></g>', shown, re.S)
    assert drawn
    assert sum(counts) == drawn[1].count("M")
    assert "Lattice</th>" in shown


def test_a_sheet_to_print_has_a_title_block(signed_in: Browser, address: str, option: Option) -> None:
    page = signed_in.get(f"{address}elevation.svg").content.decode()
    assert 'class="title-block"' in page
    assert f"Front elevation, option {option.letter}" in page
    assert option.commission.public_id in page
    assert "(A4)" in page
