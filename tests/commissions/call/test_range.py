"""The range of a price on the call page: the price at once, the range as it is worked out, once for all."""

import re

import pytest
from django.test import Client as Browser

from studio.commissions.estimating import brief_of, in_currency
from studio.commissions.models import KnownRange, Option
from studio.estimate import ranges
from studio.estimate.ranges import price_range
from studio.making.shop import ShopState
from studio.workshop.books import book_of
from tests.commissions.conftest import Words

pytestmark = pytest.mark.one_engine

HTMX = {"HX-Request": "true"}
LARGE = {"design.cell_side_mm": "100", "design.side_play_percent": "2"}


@pytest.fixture
def said(signed_in: Browser, address: str, words: Words) -> str:
    """An option of large cells for a space that was only said."""
    signed_in.post(
        address, words(**LARGE, **{"space.width_origin": "said", "space.height_origin": "said"}), headers=HTMX
    )
    return address


def shown(browser: Browser, address: str) -> str:
    """What the page says of the range."""
    page = browser.get(address).content.decode()
    found = re.search(r'<p class="range" id="range".*?</p>', page, re.DOTALL)
    return found.group() if found else ""


def whole(option: Option) -> tuple[str, str]:
    now = Option.objects.select_related("commission__space", "rate_book").get(pk=option.pk)
    book = book_of(now.rate_book)
    low, high = price_range(in_currency(brief_of(now), book), book, ShopState()).gross
    return f"£{low:,}", f"£{high:,}"


def test_the_price_is_there_at_once_and_the_range_follows(
    signed_in: Browser, said: str, option: Option
) -> None:
    page = signed_in.get(said).content.decode()
    assert "<strong>about £" in page
    assert f'hx-get="{said}range/"' in page
    parts = 0
    answer = ""
    while "may turn out to fit" not in answer or "so far" in answer:
        answer = signed_in.get(f"{said}range/", headers=HTMX).content.decode()
        parts += 1
        assert parts < 20
    low, high = whole(option)
    assert f"{low} to {high} for what we may tape" in answer
    assert "hx-get" not in answer
    assert f"<strong>{low} to {high}</strong>" in signed_in.get(said).content.decode()


def test_without_a_script_every_reload_knows_more(signed_in: Browser, said: str, option: Option) -> None:
    first = shown(signed_in, said)
    assert "Load the page again for more" in first
    assert "so far" not in first
    assert re.search(r"so far, 5 of \d+ panels", shown(signed_in, said))
    for _ in range(40):
        if not (page := signed_in.get(said).content.decode()).count("Load the page again"):
            break
    assert "<strong>{} to {}</strong>".format(*whole(option)) in page
    assert signed_in.get(f"{said}range/").status_code == 302


def test_it_is_worked_out_once(signed_in: Browser, said: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """A second option of the same design reads what is kept."""
    while "hx-get" in signed_in.get(f"{said}range/", headers=HTMX).content.decode():
        pass
    assert KnownRange.objects.count() == 1
    known = shown(signed_in, said)
    calls: list[object] = []
    monkeypatch.setattr(ranges, "price_up", lambda *given: calls.append(given))
    signed_in.post(f"{said}copy/")
    assert shown(signed_in, said.replace("/A/", "/B/")) == known
    assert calls == []
    assert KnownRange.objects.count() == 1


def test_a_price_for_what_the_client_taped_is_firm_and_has_a_range(
    signed_in: Browser, address: str, words: Words
) -> None:
    signed_in.post(address, words(**LARGE), headers=HTMX)
    while "hx-get" in signed_in.get(f"{address}range/", headers=HTMX).content.decode():
        pass
    assert "to be taped by us" in shown(signed_in, address)
    assert re.search(
        r"£[\d,.]+ (to £[\d,.]+ )?for what we may tape, \d+ panels? may turn out", shown(signed_in, address)
    )
    assert "about £" not in signed_in.get(address).content.decode()


def test_what_we_taped_has_none(signed_in: Browser, address: str, words: Words) -> None:
    ours = {"space.width_origin": "taped by us", "space.height_origin": "taped by us"}
    signed_in.post(address, words(**ours), headers=HTMX)
    assert shown(signed_in, address) == shown(signed_in, address) == ""
    assert KnownRange.objects.count() == 0


def test_an_option_without_a_price_has_none(signed_in: Browser, option: Option, address: str) -> None:
    option.design["columns"] = 300
    option.save()
    assert signed_in.get(f"{address}range/", headers=HTMX).status_code == 204


def test_a_range_of_another_version_is_worked_out_again(signed_in: Browser, said: str) -> None:
    signed_in.get(f"{said}range/", headers=HTMX)
    KnownRange.objects.update(document={"from": "an older one"}, priced=500)
    assert "so far, 5 of" in shown(signed_in, said)
    assert KnownRange.objects.get().priced == 5
