"""The making of an option: what the estimate says, each different plate once, for those who are signed in."""

import re
from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest
from django.test import Client as Browser

from studio.commissions.estimating import estimate_option
from studio.commissions.making.shown import MakingShown, spans
from studio.commissions.models import Commission, Option
from studio.estimate.estimate import estimate
from studio.estimate.example import example_question
from studio.making.booked import amounts
from studio.making.shop import Calendar, ShopState, Stock
from studio.people.models import User
from studio.pricing.rate_book import RateBook
from studio.voice import PLAIN as VOICE
from studio.workshop.bookings import move
from studio.workshop.books import book_of, save_book
from studio.workshop.clock import today
from studio.workshop.shop import write_calendar
from studio.workshop.stock import counted as counted_again

pytestmark = pytest.mark.one_engine


@pytest.fixture
def making(address: str) -> str:
    return f"{address}making/"


def read(browser: Browser, making: str) -> str:
    answer = browser.get(making)
    assert answer.status_code == 200
    return answer.content.decode()


def shown(shop: ShopState | None = None, book: RateBook | None = None) -> MakingShown:
    """The example's, without a database."""
    asked = example_question()
    book, shop = book or asked.rate_book, shop or asked.shop_state
    return MakingShown(estimate(asked.brief, book, shop, asked.as_of), book, shop, VOICE)


def test_what_the_page_says_is_what_the_estimate_says(
    signed_in: Browser, option: Option, making: str
) -> None:
    page, found = read(signed_in, making), estimate_option(option, today())
    for day in (found.dates.starts_on, found.dates.printed_on, found.dates.ready_on, found.dates.held_on):
        assert VOICE.weekday(day) in page
    assert f"{len(found.plan.plates)} with " in page
    assert VOICE.hours(found.plan.print_minutes) in page
    assert VOICE.number(found.plan.energy_kwh, 2) in page
    for use in found.plan.filaments:
        assert use.filament in page
        assert f"<strong>{VOICE.number(use.mass_g)}</strong>" in page
    assert "infill" not in re.sub(r"<desc.*?</desc>|class=\"infill\"", "", page)  # a core is no infill
    assert f"option {option.letter}".lower() in page.lower()


def test_each_different_plate_has_one_picture(signed_in: Browser, option: Option, making: str) -> None:
    page, plates = read(signed_in, making), estimate_option(option, today()).plan.plates
    assert page.count('class="drawing plate"') == len(set(plates)) < len(plates)
    times = [int(times) for times in re.findall(r'class="times">× (\d+)<', page)]
    assert sum(times) + len(set(plates)) - len(times) == len(plates)
    assert all(times > 1 for times in times)
    assert len(set(re.findall(r' id="([^"]+)"', page))) == len(re.findall(r' id="([^"]+)"', page))


def test_every_plate_is_numbered_once() -> None:
    making = shown()
    plates = list(making.plates())
    assert sum(times for _plate, _numbers, times, _picture in plates) == len(making.plan.plates)
    numbers = sorted(
        n
        for _plate, numbers, _times, _picture in plates
        for run in numbers.split(", ")
        for n in range(int(run.split(" to ")[0]), int(run.split(" to ")[-1]) + 1)
    )
    assert numbers == list(range(1, len(making.plan.plates) + 1))


def test_numbers_as_people_say_them() -> None:
    assert spans([4]) == "4"
    assert spans([1, 2, 3, 7, 9, 10]) == "1 to 3, 7, 9, 10"


def test_beds_are_never_fewer_than_possible() -> None:
    beds = list(shown().beds())
    assert all(bed.plates >= bed.bound >= 1 for bed, _limit, _covered in beds)
    assert sum(bed.plates for bed, _limit, _covered in beds) == len(shown().plan.plates)
    limits = {limit for _bed, limit, _covered in beds}
    assert limits >= {"the area of the bed", "large pieces, each with a bed of its own"}


def test_energy_adds_up_and_costs_what_the_price_says() -> None:
    making = shown()
    heating, printing, plates, reprints = ((kwh, cost) for _text, kwh, cost in making.energy())
    assert heating[0] + printing[0] == pytest.approx(plates[0], abs=0.005)
    heats = {p.name: p.heat_up_minutes * p.heat_up_w / 60_000 for p in making.book.printers}
    assert heating[0] == pytest.approx(sum(heats[p.printer] for p in making.plan.plates), abs=0.006)
    assert heating[1] is printing[1] is None
    lines = {line.code: line.amount for line in making.found.price.lines}
    assert plates[1] == lines["machine.energy"]
    assert reprints[1] == lines["reprints.energy"]


def test_power_that_costs_nothing_has_no_line() -> None:
    free, usual = shown(book=replace(example_question().rate_book, energy_per_kwh=Decimal(0))), shown()
    assert [cost for _text, _kwh, cost in free.energy()] == [None, None, 0, 0]
    assert [kwh for _text, kwh, _cost in free.energy()] == [kwh for _text, kwh, _cost in usual.energy()]


def test_filaments_with_their_shelf_and_what_others_are_promised() -> None:
    shop = replace(
        example_question().shop_state,
        stock=(
            Stock(filament="Tea", shelf_g=5000, promised_g=1000),
            Stock(filament="Tea", shelf_g=250),
            Stock(filament="Walnut", shelf_g=1500, promised_g=1500),
        ),
    )
    rows = {row[0].filament: row for row in shown(shop).filaments()}
    assert rows["Tea"][1:] == (5250, 1000)
    assert rows["Tea"][0].spools_to_buy == 0
    assert rows["Walnut"][1:] == (1500, 1500)
    assert rows["Walnut"][0].spools_to_buy > 1
    for use, _shelf_g, _promised_g in rows.values():
        parts = (use.panel_g, use.spares_g, use.starts_g, use.purge_g, use.reprints_g)
        assert float(sum(parts)) == pytest.approx(float(use.mass_g), abs=0.05)  # each rounded to 0.01 g


def test_spools_to_buy_are_counted_and_none_is_said(signed_in: Browser, option: Option, making: str) -> None:
    (use, *_others) = estimate_option(option, today()).plan.filaments
    counted = VOICE.count(use.spools_to_buy, "spool")
    assert f'data-name="To buy"><strong>{counted}</strong>' in read(signed_in, making)
    counted_again(use.filament, 5_000_000, None)
    page = read(signed_in, making)
    assert 'data-name="On the shelf">50,000<' in page
    assert 'data-name="To buy"><strong>none</strong>' in page


def test_colour_changes_add_up_to_those_of_the_plan() -> None:
    making = shown()
    changes = making.changes()
    assert sum(change.times for change in changes) == making.plan.colour_changes
    assert sum(change.minutes for change in changes) == making.plan.change_minutes


def test_both_chances_are_named_with_their_rates() -> None:
    failing, labour = shown().chances()
    assert "hazard of 0.01 an hour" in failing
    assert "geometric" in failing
    assert "log-normal" in labour
    assert "0.25" in labour


def test_promised_jobs_are_in_the_chart_of_the_printers(signed_in: Browser, making: str) -> None:
    assert "promised run" not in read(signed_in, making)
    move("a job", "sold", "firm", amounts(printer_minutes={"Small bed": 1800}, people_minutes={"": 120}))
    assert "promised run" in read(signed_in, making)


@pytest.mark.parametrize(
    "changed",
    [{"cell_side_mm": "400", "columns": 40}, {"lattice_filament": "Sold out"}],
    ids=["does not fit", "has no price"],
)
def test_an_option_that_cannot_be_made_says_why(
    signed_in: Browser, option: Option, making: str, changed: dict[str, object]
) -> None:
    Option.objects.filter(pk=option.pk).update(design=option.design | changed)
    page = read(signed_in, making)
    assert "It cannot be made as it is" in page
    assert page.count("<li>") == 1
    assert "<svg" not in page


def test_hours_in_which_nothing_is_made(signed_in: Browser, making: str) -> None:
    write_calendar(Calendar(attended_to_hour=9), None)
    assert "attended from 9 to 9 o’clock" in read(signed_in, making)


def test_names_stay_text(signed_in: Browser, option: Option, making: str) -> None:
    Commission.objects.filter(pk=option.commission_id).update(title="<b>Hall</b> & co")
    page = read(signed_in, making)
    assert "<b>Hall" not in page
    assert "&lt;b&gt;Hall&lt;/b&gt; &amp; co" in page


def test_an_approved_option_can_still_be_read(signed_in: Browser, option: Option, making: str) -> None:
    Commission.objects.filter(pk=option.commission_id).update(stage=Commission.Stage.APPROVED)
    assert 'class="drawing plate"' in read(signed_in, making)


def test_strangers_see_nothing(client: Browser, signed_in: Browser, making: str, maker: User) -> None:
    client.logout()
    assert client.get(making)["Location"].startswith("/sign-in/")
    client.force_login(maker)
    assert client.get(making).status_code == 200
    assert client.get(making.replace("/A/", "/D/")).status_code == 404
    assert client.get("/commissions/nobody/options/A/making/").status_code == 404
    assert client.post(making).status_code == 405


def test_few_queries(signed_in: Browser, making: str, django_assert_max_num_queries: Any) -> None:
    read(signed_in, making)
    with django_assert_max_num_queries(6):
        signed_in.get(making)


def test_the_rates_are_those_of_the_option(signed_in: Browser, option: Option, making: str) -> None:
    save_book(replace(book_of(option.rate_book), energy_per_kwh=Decimal("7.77")), None, today())
    rate = VOICE.money(book_of(option.rate_book).energy_per_kwh)
    assert f"At {rate} a kWh" in read(signed_in, making)


@pytest.mark.parametrize(("days", "said"), [(0, ", 0 days for"), (1, ", 1 day for"), (2, ", 2 days for")])
def test_a_single_day_is_said_in_the_singular(days: int, said: str) -> None:
    shop = replace(example_question().shop_state, deposit_days=days)
    assert f"{said} the deposit and 10 days for the colours" in dict(shown(shop).dates())["Begins"]


def test_a_light_is_drawn_and_listed(signed_in: Browser, option: Option, making: str) -> None:
    """Each feed with what is lost, its fuse and its lead; each supply with its load."""
    design = {**option.design, "lit": True, "backing": "diffuser"}
    assert "Wiring of the light" not in read(signed_in, making)
    Option.objects.filter(pk=option.pk).update(design=design)
    option.refresh_from_db()
    page, light = read(signed_in, making), estimate_option(option, today()).light
    assert light is not None
    assert 'class="drawing wiring"' in page
    for number, feed in enumerate(light.feeds, 1):
        assert f">F{number}</th>" in page
        assert f">{VOICE.number(feed.drop_percent, 1)}</td>" in page
        assert feed.fuse.text in page
        assert feed.lead.text in page
    for number, circuit in enumerate(light.circuits, 1):
        assert f">S{number}</th>" in page
        assert circuit.supply.text in page
