"""A made-up fifth lattice on the pages: chosen, spoken of, drawn and taken by nothing but its own object."""

import re

import pytest
from django.test import Client as Browser

from studio.commissions.models import Option
from studio.lattice.kinds import KINDS
from tests.commissions.conftest import Words
from tests.lattice.domino import DOMINO

pytestmark = pytest.mark.one_engine


@pytest.fixture(autouse=True)
def _known(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(KINDS, DOMINO.name, DOMINO)


def test_chosen_on_the_call_page(signed_in: Browser, option: Option, address: str, words: Words) -> None:
    assert '<option value="domino">' in signed_in.get(address).content.decode()
    answer = signed_in.post(address, words(**{"design.lattice": "domino"}))
    assert answer.status_code == 302
    saved = Option.objects.get(pk=option.pk)
    assert saved.design["lattice"] == "domino"
    assert {saved.design["arrangement"][name]["pattern"] for name in ("field", "border")} == set(DOMINO.usual)
    page = signed_in.get(address).content.decode()
    assert " two sides wide," in page
    assert "Two sides each. Empty: as many as fit." in page
    assert re.search(r"\d columns × \d+ courses of ", page)
    assert "A domino lattice panel seen from the front" in page


def test_taken_from_the_table_of_fits(signed_in: Browser, option: Option, address: str) -> None:
    page = signed_in.get(f"{address}fits/").content.decode()
    assert "Domino</strong>" in page
    assert ">columns × courses" in page
    code = page.split('value="domino/')[1].split('"')[0]
    answer = signed_in.post(f"{address}fits/", {"take": f"domino/{code}", "revision": str(option.revision)})
    assert (answer.status_code, answer["Location"]) == (302, address)
    assert Option.objects.get(pk=option.pk).design["lattice"] == "domino"


def test_its_patterns_are_in_the_workshop(signed_in: Browser) -> None:
    page = signed_in.get("/workshop/patterns/").content.decode()
    assert "Lying cross" in page
    assert "Lying stroke" in page
