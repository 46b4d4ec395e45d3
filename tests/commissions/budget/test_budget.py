""" "I have 400": what would meet it, and one of the findings taken."""

import re
from typing import Any

import pytest
from django.test import Client as Browser

from studio.commissions.budget.page import MOVES
from studio.commissions.estimating import jobs_of
from studio.commissions.models import Option
from studio.estimate.moves import MAY_MOVE
from studio.making.booked import amounts
from studio.money import from_minor
from studio.workshop.bookings import move
from tests.commissions.conftest import start

pytestmark = pytest.mark.one_engine

EVERYTHING = {f"may.{index}": "on" for index in range(len(MAY_MOVE))}


def once(browser: Browser, address: str, figure: str, **changes: str) -> Any:
    return browser.get(f"{address}budget/", {"figure": figure, "basis": "gross", **EVERYTHING, **changes})


def asked(browser: Browser, address: str, figure: str, **changes: str) -> Any:
    """The page when the search is over, as somebody without JavaScript comes to it."""
    while b'aria-busy="true"' in (answer := once(browser, address, figure, **changes)).content:
        pass
    return answer


def forms(page: str) -> list[dict[str, str]]:
    found = re.findall(
        r'name="code" value="([^"]+)">\s*<input type="hidden" name="revision" value="(\d+)"', page
    )
    return [{"code": code, "revision": revision} for code, revision in found]


def price(option: Option) -> float:
    return float(from_minor(option.gross_minor or 0, option.currency))


def below(option: Option) -> str:
    return str(int(price(option) * 0.9))


def test_the_page_asks_first(signed_in: Browser, address: str) -> None:
    page = signed_in.get(f"{address}budget/").content.decode()
    assert "What would meet a budget" in page
    assert "What was found" not in page


def test_findings_are_shown_with_picture_price_date_and_what_they_give_up(
    signed_in: Browser, option: Option, address: str
) -> None:
    page = asked(signed_in, address, below(option)).content.decode()
    cards = page.count('class="card"')
    assert 1 <= cards <= 6
    assert page.count("<svg") >= cards
    assert page.count("ready ") == cards
    assert "instead of" in page


def test_what_is_booked_for_the_commission_itself_makes_no_finding_later(
    signed_in: Browser, option: Option, address: str
) -> None:
    """As on the option's own page; what others have booked does."""

    def ready() -> list[str]:
        return re.findall(r"ready ([^<]+)<", asked(signed_in, address, "1").content.decode())

    alone, takes = ready(), amounts(people_minutes={"": 20_000})
    move(f"{jobs_of(option.commission)}sold", "sold", "firm", takes)
    assert alone
    assert ready() == alone
    move("another-job", "another-job", "firm", takes)
    assert ready() != alone


def test_a_finding_becomes_an_option(signed_in: Browser, option: Option, address: str) -> None:
    found = forms(asked(signed_in, address, below(option)).content.decode())
    answer = signed_in.post(f"{address}budget/take/", found[0])
    made = Option.objects.get(commission=option.commission, letter="B")
    assert answer["Location"].endswith("/options/B/")
    assert price(made) <= float(below(option))
    assert Option.objects.get(pk=option.pk).design == option.design


def test_a_finding_changes_the_option_itself(signed_in: Browser, option: Option, address: str) -> None:
    found = forms(asked(signed_in, address, below(option)).content.decode())
    signed_in.post(f"{address}budget/take/", {**found[0], "here": "on"})
    assert price(Option.objects.get(pk=option.pk)) <= float(below(option))
    assert option.commission.options.count() == 1


def test_a_budget_above_the_price_gives_nothing_up(signed_in: Browser, option: Option, address: str) -> None:
    page = asked(signed_in, address, "100000").content.decode()
    assert "meets this budget as it is" in page


def test_where_nothing_is_found_the_nearest_is_shown_and_nothing_denied(
    signed_in: Browser, address: str
) -> None:
    page = asked(signed_in, address, "1").content.decode()
    assert "We found nothing that meets this figure, and did not look everywhere." in page
    assert "Nothing meets" not in page
    assert re.search(r"\d+ of [\d,]+ combinations were looked at", page)
    assert page.count('class="card"') == 1


def test_nothing_meets_it_where_all_was_looked_at(signed_in: Browser, address: str) -> None:
    only = dict.fromkeys(EVERYTHING, "off") | {f"may.{MAY_MOVE.index('depth')}": "on"}
    page = asked(signed_in, address, "1", **only).content.decode()
    assert "Nothing meets this figure with what may change." in page
    assert "All 4 combinations were looked at" in page


def test_each_finding_names_what_is_not_in_its_price(
    signed_in: Browser, option: Option, address: str
) -> None:
    page = asked(signed_in, address, below(option)).content.decode()
    cards = page.split('class="card"')[1:]
    assert all("no distance is given, so the way to the client is not in the price" in card for card in cards)
    assert all("reckoned with example rates" in card for card in cards)


def test_a_long_search_says_that_it_goes_on_and_goes_on(
    signed_in: Browser, option: Option, address: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One price a request: what is known is shown, the page asks again by itself, or by a plain link."""
    monkeypatch.setattr("studio.commissions.budget.page.MOMENT_S", 0)
    figure, looked = str(int(price(option) * 0.87)), []  # asked by no other test
    while True:
        page = once(signed_in, address, figure).content.decode()
        if 'aria-busy="true"' not in page:
            break
        looked.append(int(re.findall(r"Still looking: (\d+) combinations? so far", page)[0]))
        assert 'hx-select="#found"' in page
        link = re.findall(r'href="([^"]+)">Look further', page)[0].replace("&amp;", "&")
        assert signed_in.get(link).status_code == 200
    assert looked == sorted(looked)
    assert len(set(looked)) > 3
    assert "the least given up first" in page
    assert once(signed_in, address, figure).content.decode().count('class="card"') == page.count(
        'class="card"'
    )


def test_two_searches_at_once_are_two(
    signed_in: Browser, option: Option, address: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("studio.commissions.budget.page.MOMENT_S", 0)
    first, second = (once(signed_in, address, figure).content.decode() for figure in ("301", "302"))
    assert "Still looking: 1 combination so far" in first
    assert "Still looking: 1 combination so far" in second


@pytest.mark.parametrize("figure", ["", "0", "-3", "1e400", "1000000000000", "12,5,5", "a lot"])
def test_a_figure_that_is_none_stays_typed(signed_in: Browser, address: str, figure: str) -> None:
    answer = asked(signed_in, address, figure)
    assert answer.status_code == 422
    assert f'value="{figure}"' in answer.content.decode()


@pytest.mark.parametrize("figure", ["€300", "300 €", "USD 300", "300 EUR", "$300"])
def test_a_figure_in_another_currency_is_refused(signed_in: Browser, address: str, figure: str) -> None:
    answer = once(signed_in, address, figure)
    assert answer.status_code == 422
    assert "another currency" in answer.content.decode()
    assert f'value="{figure}"' in answer.content.decode()


@pytest.mark.parametrize("figure", ["£100,000", "100,000.00", " 100000 ", "GBP 100,000", "100000 GBP"])
def test_a_figure_is_read_as_people_write_it(signed_in: Browser, address: str, figure: str) -> None:
    assert "meets this budget as it is" in asked(signed_in, address, figure).content.decode()


def test_nothing_may_move(signed_in: Browser, address: str) -> None:
    answer = asked(signed_in, address, "300", **dict.fromkeys(EVERYTHING, "off"))
    assert answer.status_code == 422
    assert "Tick at least one" in answer.content.decode()


def test_each_tick_names_what_it_lets_move() -> None:
    """Ticks are numbered in the order of the ways."""
    assert tuple(MOVES) == MAY_MOVE


def test_what_is_not_ticked_does_not_move(signed_in: Browser, option: Option, address: str) -> None:
    only = dict.fromkeys(EVERYTHING, "off") | {f"may.{MAY_MOVE.index('delivery')}": "on"}
    found = forms(asked(signed_in, address, "1", **only).content.decode())
    assert [each["code"].partition(":")[0] for each in found] in ([], ["delivery"])


def test_a_finding_of_an_older_option_is_not_taken(signed_in: Browser, option: Option, address: str) -> None:
    found = forms(asked(signed_in, address, below(option)).content.decode())
    Option.objects.filter(pk=option.pk).update(revision=option.revision + 1)
    answer = signed_in.post(f"{address}budget/take/", found[0], follow=True)
    assert "Somebody changed this option just now" in answer.content.decode()
    assert option.commission.options.count() == 1


@pytest.mark.parametrize("code", ["", "paint:1", "depth:999", "depth:x", "light:9" * 50, "\x00"])
def test_a_made_up_code_is_refused(signed_in: Browser, option: Option, address: str, code: str) -> None:
    answer = signed_in.post(
        f"{address}budget/take/", {"code": code, "revision": str(option.revision)}, follow=True
    )
    assert answer.status_code in (200, 400)
    assert option.commission.options.count() == 1


def test_four_options_leave_only_the_change_of_this_one(
    signed_in: Browser, option: Option, address: str
) -> None:
    for _ in range(3):
        signed_in.post(f"{address}copy/")
    page = asked(signed_in, address, below(option)).content.decode()
    assert "Make it an option" not in page
    answer = signed_in.post(f"{address}budget/take/", forms(page)[0], follow=True)
    assert "there are four options already" in answer.content.decode().lower()


def test_visitors_are_sent_away(client: Browser, address: str, option: Option) -> None:
    visitor = Browser()
    assert visitor.get(f"{address}budget/").status_code == 302
    assert visitor.post(f"{address}budget/take/", {"code": "depth:1"}).status_code == 302


def test_an_option_without_a_price_says_why(signed_in: Browser) -> None:
    option = start(signed_in)
    Option.objects.filter(pk=option.pk).update(design={**option.design, "cell_side_mm": "399"})
    address = f"/commissions/{option.commission.public_id}/options/A/"
    answer = asked(signed_in, address, "300")
    assert answer.status_code in (200, 422)
