"""A commission with one option, and its words as they stand on the call page."""

from collections.abc import Callable

import pytest
from django.http import HttpResponse
from django.test import Client as Browser

from studio.commissions.call.whole_form import form_of
from studio.commissions.models import Option
from studio.workshop.books import the_studio

Words = Callable[..., dict[str, str]]


def start(browser: Browser, **said: str) -> Option:
    enquiry = {"space.widths_mm.0": "600 mm", "space.heights_mm.0": "500", "where": "", "client": ""}
    browser.post("/commissions/new/", enquiry | {"new_client": ""} | said)
    return Option.objects.select_related("commission__space", "rate_book").latest("pk")


def undo(browser: Browser, address: str) -> HttpResponse:
    """As the button on the page of now does."""
    return browser.post(f"{address}undo/", {"revision": browser.get(address).context["option"].revision})


@pytest.fixture
def option(signed_in: Browser) -> Option:
    return start(signed_in)


@pytest.fixture
def address(option: Option) -> str:
    return f"/commissions/{option.commission.public_id}/options/A/"


@pytest.fixture
def words(option: Option) -> Words:
    """The fields of the page as they stand now, with some changed."""

    def changed(**fields: str) -> dict[str, str]:
        now = Option.objects.select_related("commission__space").get(pk=option.pk)
        return {**form_of(now, the_studio()).values, **fields}

    return changed
