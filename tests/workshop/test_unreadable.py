"""Rates or a calendar that cannot be read: nothing is promised by others in their place, no page falls, and
saving anew mends it."""

from datetime import date
from typing import Any

import pytest
from django.test import Client as Browser
from django.urls import reverse

from studio.commissions.models import Commission, Option
from studio.people.models import User
from studio.stored.kinds import RATE_BOOK
from studio.workshop.books import current_book
from studio.workshop.clock import today
from studio.workshop.models import RateBookRevision, ShopRevision
from studio.workshop.shop import current_shop
from tests.commissions.conftest import start
from tests.two_tabs import fields_of


@pytest.fixture
def option(signed_in: Browser) -> Option:
    return start(signed_in)


@pytest.fixture
def newer_rates(option: Option, owner: User) -> RateBookRevision:
    """Written by a program of next year, while the option keeps rates that can be read."""
    _revision, _book = current_book(today())
    return RateBookRevision.objects.create(
        document='{"schema": 99}', sha256="0" * 64, effective_from=today(), currency="GBP", by=owner
    )


@pytest.fixture
def cut_calendar(option: Option, owner: User) -> ShopRevision:
    return ShopRevision.objects.create(document='{"stock": [', sha256="0" * 64, by=owner)


def page(browser: Browser, name: str, *args: Any) -> str:
    answer = browser.get(reverse(name, args=args))
    assert answer.status_code == 200
    return answer.content.decode()


KNOWN = f"schema 99; this one knows {RATE_BOOK.schema}"
WHY = f"It was stored by a newer program ({KNOWN}). Bring the program up to date."


def test_the_workshop_says_which_rates_cannot_be_read_and_saves_them_anew(signed_in, newer_rates):
    told = page(signed_in, "workshop-rates", "price")
    assert "What was saved last cannot be read" in told
    assert WHY in told
    form = fields_of(signed_in.get(reverse("workshop-rates", args=["price"])), card_percent="2.5")
    saved = signed_in.post(reverse("workshop-rates", args=["price"]), form)
    assert saved.status_code == 302
    assert current_book(today())[1].card_percent == 2.5
    assert "cannot be read" not in page(signed_in, "workshop-rates", "price")


def test_an_option_of_rates_that_can_be_read_keeps_its_price(signed_in, option, newer_rates):
    told = page(signed_in, "option", option.commission.public_id, "A")
    assert "£" in told
    assert "cannot be read" not in told


def test_nothing_new_is_priced_with_other_rates_in_their_place(signed_in, newer_rates):
    before = Commission.objects.count()
    typed = {"where": "Wall", "space.widths_mm.0": "900", "space.heights_mm.0": "600"}
    answer = signed_in.post(reverse("commission-new"), typed)
    assert answer.status_code == 422
    assert WHY in answer.content.decode()
    assert Commission.objects.count() == before
    assert "Wall" in answer.content.decode()  # what was typed stays


def test_without_a_calendar_no_day_is_named(signed_in, option, cut_calendar):
    told = page(signed_in, "option", option.commission.public_id, "A")
    assert "There is no price" in told
    assert "This is not JSON" in told
    assert str(date.today().year) not in told.partition('id="headline"')[2].partition("</section>")[0]
    for name in ("clients", "workshop", "workshop-measured"):
        page(signed_in, name)


def test_a_calendar_is_saved_anew(signed_in, cut_calendar):
    address = reverse("workshop-calendar")
    assert "This is not JSON" in page(signed_in, "workshop-calendar")
    answer = signed_in.post(address, fields_of(signed_in.get(address), curing_days="4"))
    assert answer.status_code == 302
    assert current_shop(today()).curing_days == 4
