"""Two people in the workshop's pages, each on a page of their own."""

import threading
from dataclasses import replace
from datetime import date, timedelta

import pytest
from django.db import OperationalError, connection
from django.test import Client as Browser

from studio.people.models import User
from studio.pricing.rate_book import RateBook
from studio.workshop.books import current_book
from studio.workshop.by_hand import job_lines
from studio.workshop.clock import today
from studio.workshop.models import RateBookRevision
from studio.workshop.rates_pages import RATES_PAGES, rates_form, save_rates
from tests.two_tabs import fields_of

DAY = date(2026, 3, 2)
AHEAD = (today() + timedelta(days=30)).isoformat()


@pytest.fixture
def maker(db: None) -> User:
    """Rates are the owner's: the second person is one too."""
    return User.objects.create_user("tam@studio.example", "x", display_name="Tam", role=User.Role.OWNER)


def book() -> RateBook:
    return current_book(today())[1]


def saved(browser: Browser, place: str, *names: str) -> list[str]:
    fields = fields_of(browser.get(place))
    return [fields[name] for name in names]


PAGES = [
    ("/workshop/", "name", "Reed & Resin", "Rush & Resin", "phone", "01632 960 1"),
    ("/workshop/", "terms_text", "Pay us.", "Pay at once.", "address", "1 Quay\nSallowmere"),
    ("/workshop/calendar/", "curing_days", "3", "4", "stock.1.shelf_g", "750"),
    ("/workshop/filaments/", "filaments.0.price_per_spool", "30", "31", "filaments.0.material", "PETG"),
    ("/workshop/printers/", "printers.0.power_w", "140", "150", "printers.1.recipe.walls", "3"),
    ("/workshop/labour/", "roles.0.rate", "30", "31", "operations.1.minutes", "7"),
    ("/workshop/bought/", "bought.0.price", "30", "31", "bought.1.text", "Something else"),
    ("/workshop/price/", "card_percent", "3", "4", "tax.0.text", "Tax of all"),
]
TICKS = [("/workshop/calendar/", "day-6", "on", "", "days_off", "2026-12-24")]
"""A tick has two values: two people cannot change it to different ones."""
NAMES = ("place", "name", "value", "other", "elsewhere", "kept")


@pytest.mark.parametrize(NAMES, [*PAGES, *TICKS])
def test_different_fields_are_both_kept(
    signed_in: Browser, tam: Browser, place: str, name: str, value: str, other: str, elsewhere: str, kept: str
) -> None:
    stale = fields_of(signed_in.get(place)) | {name: value}
    assert tam.post(place, fields_of(tam.get(place)) | {elsewhere: kept}).status_code == 302
    page = signed_in.post(place, stale, follow=True)
    assert page.status_code == 200
    assert "Tam changed " in page.content.decode()
    assert saved(signed_in, place, name, elsewhere) == [value, kept]


@pytest.mark.parametrize(NAMES, PAGES)
@pytest.mark.parametrize("choice", ["mine", "theirs"])
def test_one_field_is_asked_about_and_chosen(
    signed_in: Browser,
    tam: Browser,
    place: str,
    name: str,
    value: str,
    other: str,
    elsewhere: str,
    kept: str,
    choice: str,
) -> None:
    stale = fields_of(signed_in.get(place)) | {name: value}
    tam.post(place, fields_of(tam.get(place)) | {name: other, elsewhere: kept})
    asked = signed_in.post(place, stale)
    page = asked.content.decode()
    assert asked.status_code == 409
    assert "typed here: <b>" in page
    assert "saved by Tam: <b>" in page
    again = fields_of(asked)
    assert (again[name], again[elsewhere]) == (value, kept)
    assert signed_in.post(place, again).status_code == 409  # saving again reverts nobody's fields unseen
    assert saved(tam, place, name, elsewhere) == [other, kept]
    assert signed_in.post(place, again | {"choose.0": choice}).status_code == 302
    assert saved(tam, place, name, elsewhere) == [value if choice == "mine" else other, kept]


def test_save_again_does_not_revert_a_colleagues_fields(signed_in: Browser, tam: Browser) -> None:
    """Two sections of one book, and two fields of one section: nothing of either is lost."""
    filaments = fields_of(signed_in.get("/workshop/filaments/"), filaments__0__price_per_spool="30")
    price = fields_of(signed_in.get("/workshop/price/"), card_percent="3")
    theirs = fields_of(tam.get("/workshop/price/"), basis_percent="41")
    tam.post("/workshop/price/", theirs)
    assert signed_in.post("/workshop/filaments/", filaments).status_code == 302
    assert signed_in.post("/workshop/price/", price).status_code == 302
    now = book()
    assert (now.filaments[0].price_per_spool, now.card_percent, now.basis_percent) == (30, 3, 41)


def test_lines_added_and_taken_out_by_two(signed_in: Browser, tam: Browser) -> None:
    place = "/workshop/filaments/"
    stale = signed_in.post(place, fields_of(signed_in.get(place)) | {"remove": "filaments.1"})
    stale = signed_in.post(place, fields_of(stale) | {"add": "filaments"})
    mine = fields_of(stale, filaments__7__name="Plum", filaments__7__price_per_spool="20")
    added = fields_of(tam.post(place, fields_of(tam.get(place)) | {"add": "filaments"}))
    tam.post(place, added | {"filaments.8.name": "Quince", "filaments.0.price_per_spool": "29"})
    names = [filament.name for filament in book().filaments]
    page = signed_in.post(place, mine, follow=True).content.decode()
    assert "Tam changed Tea, price per spool, Quince meanwhile: kept." in page
    expected = [*(name for name in names if name != names[1]), "Plum"]
    assert [filament.name for filament in book().filaments] == expected
    assert book().filaments[0].price_per_spool == 29


@pytest.mark.parametrize(("choice", "left"), [("mine", False), ("theirs", True)])
def test_a_line_taken_out_that_another_has_changed(
    signed_in: Browser, tam: Browser, choice: str, left: bool
) -> None:
    place = "/workshop/filaments/"
    stale = fields_of(signed_in.post(place, fields_of(signed_in.get(place)) | {"remove": "filaments.1"}))
    tam.post(place, fields_of(tam.get(place), filaments__1__price_per_spool="29"))
    asked = signed_in.post(place, stale)
    page = asked.content.decode()
    assert asked.status_code == 409
    assert "typed here: <b>taken out</b>" in page
    assert "saved by Tam: <b>Indigo, " in page
    assert signed_in.post(place, fields_of(asked) | {"choose.0": choice}).status_code == 302
    assert ("Indigo" in [filament.name for filament in book().filaments]) == left


def test_promises_of_two_are_both_kept(signed_in: Browser, tam: Browser) -> None:
    place = "/workshop/calendar/"
    added = [
        (browser, fields_of(browser.post(place, fields_of(browser.get(place)) | {"add": "promised"})))
        for browser in (signed_in, tam)
    ]
    for (browser, page), text in zip(added, ("Fern screen", "Reed screen"), strict=True):
        line = {"promised.0.text": text, "promised.0.printer_hours": "9"}
        assert browser.post(place, page | line).status_code == 302
    assert [line["text"] for line in job_lines()] == ["Fern screen", "Reed screen"]


def test_the_last_line_that_another_takes_out_does_not_come_back(signed_in: Browser, tam: Browser) -> None:
    place = "/workshop/calendar/"
    added = fields_of(tam.post(place, fields_of(tam.get(place)) | {"add": "promised"}))
    tam.post(place, added | {"promised.0.text": "Fern screen", "promised.0.printer_hours": "9"})
    stale = fields_of(signed_in.get(place), curing_days="3")
    gone = tam.post(place, fields_of(tam.get(place)) | {"remove": "promised.0"})
    assert tam.post(place, fields_of(gone)).status_code == 302
    page = signed_in.post(place, stale, follow=True).content.decode()
    assert "Tam changed Fern screen meanwhile: kept." in page
    assert job_lines() == []


def test_rates_saved_ahead_lose_none_of_each_other(signed_in: Browser, tam: Browser) -> None:
    """Both pages were made from today's rates, and both are to hold from the same later day."""
    filaments = fields_of(signed_in.get("/workshop/filaments/"), filaments__0__price_per_spool="30")
    price = fields_of(signed_in.get("/workshop/price/"), card_percent="3")
    answer = tam.post("/workshop/filaments/", filaments | {"effective_from": AHEAD})
    assert answer["Location"] == f"/workshop/filaments/?on={AHEAD}"
    assert signed_in.post("/workshop/price/", price | {"effective_from": AHEAD}).status_code == 302
    ahead = current_book(date.fromisoformat(AHEAD))[1]
    assert (ahead.filaments[0].price_per_spool, ahead.card_percent) == (30, 3)
    assert book().filaments[0].price_per_spool != 30


def test_what_is_wrong_stays_typed_beside_what_was_merged(signed_in: Browser, tam: Browser) -> None:
    place = "/workshop/price/"
    stale = fields_of(signed_in.get(place), basis_percent="dear")
    tam.post(place, fields_of(tam.get(place), card_percent="3"))
    asked = signed_in.post(place, stale)
    assert asked.status_code == 422
    assert (fields_of(asked)["basis_percent"], fields_of(asked)["card_percent"]) == ("dear", "3")
    soon = signed_in.post(place, stale | {"effective_from": "soon"})
    assert soon.status_code == 422
    assert fields_of(soon)["made_from"] == stale["made_from"]  # it is still asked for, once it can be


@pytest.mark.parametrize("place", [place for place, *_rest in PAGES])
@pytest.mark.parametrize("made_from", ["", "{}", "[1]", "{"])
def test_a_page_that_says_nothing_of_its_past_overwrites_nothing(
    signed_in: Browser, place: str, made_from: str
) -> None:
    page = fields_of(signed_in.get(place))
    name, value = next((name, value) for at, name, value, *_rest in PAGES if at == place)
    assert signed_in.post(place, page | {name: value, "made_from": made_from}).status_code == 409
    assert saved(signed_in, place, name) == [page[name]]


@pytest.mark.parametrize("place", [place for place, *_rest in PAGES])
def test_strangers(client: Browser, signed_in: Browser, place: str) -> None:
    stale = fields_of(signed_in.get(place))
    client.logout()
    assert client.post(place, stale)["Location"].startswith("/sign-in/")


@pytest.mark.django_db(transaction=True)
def test_of_two_sections_saved_at_once_none_is_lost() -> None:
    """Two threads with connections of their own: what is saved second does not undo the first."""
    found = current_book(DAY)[1]
    barrier, told = threading.Barrier(2), dict[str, str]()

    def save(slug: str, field: str, text: str) -> None:
        form = rates_form(RATES_PAGES[slug], found, DAY)
        typed = replace(form, values={**form.values, field: text})
        barrier.wait()
        while slug not in told:
            try:
                told[slug] = save_rates(RATES_PAGES[slug], typed, None, DAY)[1]
            except OperationalError:  # SQLite in memory does not wait for its lock, as a file does
                continue
        connection.close()

    changes = (("filaments", "filaments.0.price_per_spool", "30"), ("price", "card_percent", "3"))
    threads = [threading.Thread(target=save, args=change) for change in changes]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(told) == 2
    assert RateBookRevision.objects.count() == 3
    now = current_book(DAY)[1]
    assert (now.filaments[0].price_per_spool, now.card_percent) == (30, 3)
