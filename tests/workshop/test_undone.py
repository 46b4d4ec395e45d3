"""Rates saved for a later day: what they would undo of what was changed since, field by field."""

from datetime import timedelta

import pytest
from django.test import Client as Browser

from studio.workshop.clock import today
from studio.workshop.rates_pages import RATES_PAGES
from studio.workshop.undone import undone_on
from tests.two_tabs import fields_of

AHEAD = (today() + timedelta(days=40)).isoformat()


def save(browser: Browser, slug: str, on: str = "", **changed: str) -> None:
    """As typed on the page of today's rates, or of those that hold `on` a day."""
    page = browser.get(f"/workshop/{slug}/", {"on": on} if on else {})
    typed = fields_of(page) | {name.replace("__", "."): text for name, text in changed.items()}
    start = {"effective_from": on} if on else {}
    assert browser.post(f"/workshop/{slug}/", typed | start).status_code == 302


def told(slug: str) -> list[tuple[str, str, str]]:
    return [field for each in undone_on(RATES_PAGES[slug]) for field in each.fields]


def test_what_a_later_book_would_undo_is_told_field_by_field(signed_in):
    """Rates for later are saved with a margin of their own; then today's overhead, a role and a filament are
    changed, and the margin once more. The margin is meant; the others are not in the later book."""
    save(signed_in, "price", AHEAD, basis_percent="40")
    save(signed_in, "price", overhead_per_hour="13", basis_percent="38")
    save(signed_in, "labour", roles__0__rate="39")
    assert told("price") == [("overhead per hour", "13", "11")]
    assert told("labour") == [("designer, rate", "39", "36")]
    assert told("filaments") == []
    page = " ".join(signed_in.get("/workshop/price/").content.decode().split())
    assert "Overhead per hour: “13” until then, “11” from then on" in page
    assert f'<a href="?on={AHEAD}">change it there too</a>' in page


def test_what_is_carried_into_the_later_book_is_told_no_more(signed_in):
    save(signed_in, "price", AHEAD, basis_percent="40")
    save(signed_in, "price", overhead_per_hour="13")
    save(signed_in, "price", AHEAD, validity_days="20")  # another field of the later book
    assert told("price") == [("overhead per hour", "13", "11")]
    save(signed_in, "price", AHEAD, overhead_per_hour="13")
    assert told("price") == []
    assert "would undo" not in signed_in.get("/workshop/price/").content.decode()


def test_a_line_that_was_added_or_taken_out_since_is_one(signed_in):
    save(signed_in, "price", AHEAD, basis_percent="40")
    page = signed_in.get("/workshop/labour/")
    typed = {name: text for name, text in fields_of(page).items() if not name.startswith("operations.3.")}
    assert signed_in.post("/workshop/labour/", typed).status_code == 302
    ((label, now, then),) = told("labour")
    assert (label, now) == ("design", "taken out")
    assert "Design and drawings, designer, 100" in then


@pytest.mark.parametrize("slug", RATES_PAGES)
def test_rates_made_from_todays_undo_nothing(signed_in, slug):
    save(signed_in, "price", overhead_per_hour="13")
    save(signed_in, "price", AHEAD, basis_percent="40")
    assert told(slug) == []
