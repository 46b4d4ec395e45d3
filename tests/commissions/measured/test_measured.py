"""What plates really took: typed, shown, taken out and brought back; what makes no sense is refused."""

import re
from dataclasses import replace
from datetime import timedelta
from decimal import Decimal
from typing import Any

import pytest
from django.test import Client as Browser
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from studio.commissions.measured.keys import list_key, plate_key
from studio.commissions.measured.plates import plates_of
from studio.commissions.models import Option
from studio.making.equipment import OwnRecipe, Recipe
from studio.making.measured import Measured
from studio.workshop.books import current_book, save_book
from studio.workshop.clock import today
from tests.commissions.conftest import start

PLACE = "/workshop/measured/"


def plate(**changed: str) -> dict[str, str]:
    """What the page posts for a plate that took 110 % of its minutes."""
    typed = {
        "printer": "Small bed", "recipe": "standard", "text": "Reeds", "estimated_minutes": "100",
        "measured_minutes": "110", "estimated_g": "40", "measured_g": "41", "failed": "off",
    }  # fmt: skip
    return typed | changed


def post(browser: Browser, **changed: str) -> Any:
    return browser.post(PLACE, plate(**changed))


def press(browser: Browser, button: str, value: str = "on") -> Any:
    return browser.post(PLACE, {"list": list_key(current_book(today())[1]), button: value})


def take_out(browser: Browser, place: int) -> Any:
    return press(browser, "remove", plate_key(measured()[place]))


def measured() -> tuple[Measured, ...]:
    return current_book(today())[1].measured


def test_a_plate_is_kept_with_the_rates_of_the_day(signed_in: Browser) -> None:
    assert post(signed_in).status_code == 302
    (found,) = measured()
    assert (found.printer, found.measured_minutes, found.failed) == ("Small bed", 110, False)
    page = signed_in.get(PLACE).content.decode()
    assert "Reeds" in page
    assert "1.10" in page
    assert "Two more plates are needed" in page


def test_three_plates_make_factors_by_hand(signed_in: Browser) -> None:
    """(100 × 110 + 200 × 210 + 300 × 345) / 140 000 is 1.1179; grams took 41 for 40, all three."""
    for minutes, took in ((100, 110), (200, 210), (300, 345)):
        post(signed_in, estimated_minutes=str(minutes), measured_minutes=str(took))
    page = signed_in.get(PLACE).content.decode()
    assert "× 1.118" in page
    assert "× 1.025" in page
    assert "200 min computed: 198 to 249 min" in page
    assert "needed" not in page


def test_strangers_measure_nothing(client: Browser, db: None) -> None:
    assert client.get(PLACE)["Location"].startswith("/sign-in/")
    assert client.post(PLACE)["Location"].startswith("/sign-in/")


@pytest.mark.parametrize(
    ("field", "text", "told"),
    [
        ("measured_minutes", "0", "no plate"),
        ("measured_minutes", "", "a number"),
        ("measured_minutes", "long", "a number"),
        ("measured_minutes", "-5", "at least 0"),
        ("measured_minutes", "1001", "10 times more"),
        ("measured_minutes", "9" * 400, "Give a number"),
        ("measured_minutes", "1e-320", "no plate"),
        ("measured_minutes", "nan", "a number"),
        ("estimated_minutes", "0", "no plate"),
        ("measured_g", "0", "no plate"),
        ("measured_g", "3", "13 times less"),
        ("estimated_g", "1e9", "at most 1000000"),
        ("printer", "Barn bed", "Small bed, Large bed"),
        ("printer", "", "at least 1 character"),
        ("recipe", "PETG", "no recipe for PETG"),
        ("text", "x" * 201, "at most 200 characters"),
    ],
)
def test_nonsense_is_refused_beside_its_field(signed_in: Browser, field: str, text: str, told: str) -> None:
    post(signed_in)
    answer = post(signed_in, **{field: text})
    page = answer.content.decode()
    beside = re.search(rf'id="f-{field.replace("_", "-")}-p">([^<]*)<', page)
    assert answer.status_code == 422
    assert beside is not None
    assert told in beside[1].replace(",", "") or told in beside[1]
    assert text in page
    assert len(measured()) == 1


def test_hours_and_minutes_as_printers_show_them(signed_in: Browser) -> None:
    post(signed_in, estimated_minutes="3:20", measured_minutes="3h 30m", measured_g="41,5")
    (found,) = measured()
    assert (found.estimated_minutes, found.measured_minutes, found.measured_g) == (200, 210, 41.5)


def test_nobody_weighs_a_failed_plate(signed_in: Browser) -> None:
    assert (
        post(signed_in, failed="on", measured_minutes="30", estimated_g="", measured_g="").status_code == 302
    )
    assert measured()[0].failed
    page = signed_in.get(PLACE).content.decode()
    assert "failed after 30" in page
    assert "Three more plates are needed" in page


def test_two_people_add_and_take_out_plates(signed_in: Browser, tam: Browser) -> None:
    """Each on a page from before the other saved."""
    post(signed_in, text="Reeds")
    reeds = {"remove": plate_key(measured()[0])}
    assert tam.post(PLACE, plate(text="Waves")).status_code == 302
    assert post(signed_in, text="Mine").status_code == 302
    assert signed_in.post(PLACE, reeds).status_code == 302
    assert [each.text for each in measured()] == ["Waves", "Mine"]
    again = tam.post(PLACE, reeds)
    assert again.status_code == 422
    assert "There is no such plate in the list" in again.content.decode()
    assert [each.text for each in measured()] == ["Waves", "Mine"]


def test_a_list_that_is_no_longer_true_is_not_undone(signed_in: Browser, tam: Browser) -> None:
    post(signed_in, text="Mine")
    seen = {"list": list_key(current_book(today())[1])}
    post(tam, text="Theirs")
    for button in ("undo", "hazard"):
        for posted in (seen, {}):
            answer = signed_in.post(PLACE, posted | {button: "0"})
            assert answer.status_code == 409
            assert "somebody saved rates or plates meanwhile" in answer.content.decode().lower()
    assert f'name="list" value="{list_key(current_book(today())[1])}"' in answer.content.decode()
    assert [each.text for each in measured()] == ["Mine", "Theirs"]


def test_a_plate_is_taken_out_and_brought_back(signed_in: Browser) -> None:
    post(signed_in, text="Reeds")
    post(signed_in, text="Waves")
    assert take_out(signed_in, 0).status_code == 302
    assert [each.text for each in measured()] == ["Waves"]
    assert press(signed_in, "undo").status_code == 302
    assert [each.text for each in measured()] == ["Reeds", "Waves"]
    for nonsense in ("7", "-1", "x", "", "9" * 5000, "٠"):
        assert press(signed_in, "remove", nonsense).status_code == 422
    assert len(measured()) == 2


def test_where_there_is_nothing_to_undo(signed_in: Browser) -> None:
    assert 'name="undo"' not in signed_in.get(PLACE).content.decode()
    assert press(signed_in, "undo").status_code == 422
    save_book(replace(current_book(today())[1], card_percent=Decimal(3)), None, today())
    post(signed_in)
    press(signed_in, "undo")
    assert measured() == ()
    assert current_book(today())[1].card_percent == 3


def test_rates_saved_ahead_learn_of_the_plate_too(signed_in: Browser) -> None:
    ahead = today() + timedelta(days=30)
    save_book(replace(current_book(today())[1], card_percent=Decimal(3)), None, ahead)
    post(signed_in)
    later = current_book(ahead)[1]
    assert (later.card_percent, later.measured) == (3, measured())


def several(hours: float, failures: int) -> tuple[Measured, ...]:
    """Ten plates over so many hours."""
    one = Measured(
        printer="Small bed",
        estimated_minutes=6 * hours,
        measured_minutes=6 * hours,
        estimated_g=40,
        measured_g=40,
    )
    return tuple(replace(one, failed=index < failures) for index in range(10))


def test_enough_failures_become_the_rate(signed_in: Browser) -> None:
    """2 in 120 h are 0.0167 an hour; exact limits are 0.5318 / 120 and 5.3223 / 120 (half of the chi-square
    quantiles 0.1 at 4 and 0.9 at 6 degrees of freedom, 1.0636 and 10.6446, from memory)."""
    save_book(replace(current_book(today())[1], measured=several(120, 2)), None, today())
    page = signed_in.get(PLACE).content.decode()
    assert "2 in 120.0 h: 0.0167 an hour, 0.0044 to 0.0444 in 8 of 10 cases" in page
    assert press(signed_in, "hazard").status_code == 302
    book = current_book(today())[1]
    assert (book.failures_per_hour, book.set_on["failures_per_hour"]) == (0.0167, today())


def test_no_failure_has_a_limit_only(signed_in: Browser) -> None:
    """The mean of which nothing came out in 9 of 10 cases at most: ln 10 = 2.3026, over 500 h."""
    save_book(replace(current_book(today())[1], measured=several(500, 0)), None, today())
    assert "none in 500.0 h: at most 0.0046 an hour" in signed_in.get(PLACE).content.decode()


@pytest.mark.parametrize(("hours", "failures"), [(99, 2), (500, 0)])
def test_too_little_is_no_rate(signed_in: Browser, hours: float, failures: int) -> None:
    save_book(replace(current_book(today())[1], measured=several(hours, failures)), None, today())
    page = signed_in.get(PLACE).content.decode()
    assert 'name="hazard"' not in page
    assert "Enough is 100 h of printing with at least one failure" in page
    assert press(signed_in, "hazard").status_code == 422
    assert current_book(today())[1].failures_per_hour == 0.01


def test_a_rate_that_prices_nothing_is_refused(signed_in: Browser) -> None:
    """Eleven of twelve plates of ten hours fail after one: no studio would go on."""
    failed = replace(several(100, 1)[0], measured_minutes=60)
    save_book(replace(current_book(today())[1], measured=(failed,) * 200), None, today())
    assert press(signed_in, "hazard").status_code == 422


def test_five_hundred_plates_are_enough(signed_in: Browser) -> None:
    save_book(replace(current_book(today())[1], measured=several(20, 0) * 50), None, today())
    assert post(signed_in).status_code == 422
    assert len(measured()) == 500


def test_a_recipe_of_its_own_has_factors_of_its_own(signed_in: Browser) -> None:
    book = current_book(today())[1]
    small, *others = book.printers
    small = replace(small, recipes=(OwnRecipe(of="PETG", recipe=Recipe(nozzle_c=240)),))
    save_book(replace(book, printers=(small, *others)), None, today())
    assert post(signed_in, recipe="PETG").status_code == 302
    assert post(signed_in, recipe="PETG", printer="Large bed").status_code == 422
    assert "Small bed, recipe for PETG" in signed_in.get(PLACE).content.decode()


def test_plates_of_a_printer_that_is_gone_are_still_listed(signed_in: Browser) -> None:
    post(signed_in)
    book = current_book(today())[1]
    save_book(replace(book, printers=book.printers[1:]), None, today())
    assert "no such printer now" in signed_in.get(PLACE).content.decode()


def test_plates_that_are_refused_today_can_be_taken_out(signed_in: Browser) -> None:
    """From before a rule was there: two of them, one after the other."""
    wrong = replace(several(10, 0)[0], measured_minutes=0, estimated_g=0)
    save_book(replace(current_book(today())[1], measured=(wrong, wrong)), None, today())
    page = signed_in.get(PLACE)
    assert page.status_code == 200
    assert "A plate of 0 minutes is no plate" in page.content.decode()
    assert [take_out(signed_in, 0).status_code for _ in range(2)] == [302, 302]


def test_markup_in_a_text_is_text(signed_in: Browser) -> None:
    post(signed_in, text="<b>Reeds</b> 🎋")
    page = signed_in.get(PLACE).content.decode()
    assert "&lt;b&gt;Reeds&lt;/b&gt; 🎋" in page
    assert "<b>Reeds" not in page


@pytest.fixture
def option(signed_in: Browser) -> Option:
    return start(signed_in)


def filled(page: str) -> dict[str, str]:
    names = ("text", "estimated_minutes", "estimated_g")
    found = {name: re.search(rf'name="{name}" type="text" value="([^"]*)"', page) for name in names}
    return {name: match[1] for name, match in found.items() if match}


def test_a_plate_of_an_option_fills_the_computed_figures_in(signed_in: Browser, option: Option) -> None:
    page = signed_in.get(PLACE, {"option": option.pk}).content.decode()
    assert "&amp;plate=0#new" in page
    page = signed_in.get(PLACE, {"option": option.pk, "plate": 0}).content.decode()
    typed = filled(page)
    assert float(typed["estimated_minutes"]) > 0
    assert float(typed["estimated_g"]) > 0
    answer = post(signed_in, **typed, measured_minutes=typed["estimated_minutes"], measured_g="x")
    assert answer.status_code == 422


def test_computed_is_before_any_factor(signed_in: Browser, option: Option) -> None:
    """An option made with factors of 2 has plates whose figures without the factor come back."""
    book = current_book(today())[1]
    slow = tuple(
        Measured(
            printer=printer.name,
            estimated_minutes=100,
            measured_minutes=150,
            estimated_g=40,
            measured_g=50,
        )
        for printer in book.printers
        for _ in range(3)
    )
    before = {each.pieces: each for each in plates_of(option)}
    option.rate_book = save_book(replace(book, measured=slow), None, today())
    option.save()
    after = {each.pieces: each for each in plates_of(option)}
    alike = before.keys() & after.keys()
    assert alike
    for pieces in alike:
        assert after[pieces].minutes == pytest.approx(before[pieces].minutes, abs=0.11)
        assert after[pieces].mass_g == pytest.approx(before[pieces].mass_g, abs=0.11)


def test_what_was_typed_wins_over_what_the_address_fills_in(signed_in: Browser, option: Option) -> None:
    address = f"{PLACE}?option={option.pk}&plate=0"
    page = signed_in.post(address, plate(estimated_minutes="77", measured_minutes="x")).content.decode()
    assert filled(page)["estimated_minutes"] == "77"
    assert signed_in.post(address, plate())["Location"] == f"{PLACE}?option={option.pk}"


@pytest.mark.parametrize("key", ["", "x", "0", "-1", "9" * 30, "٣", "1.5"])
def test_options_and_plates_that_are_not_there(signed_in: Browser, option: Option, key: str) -> None:
    assert signed_in.get(PLACE, {"option": key, "plate": key}).status_code == 200
    assert signed_in.get(PLACE, {"option": option.pk, "plate": key or "99"}).status_code == 200


def test_an_option_that_cannot_be_made_says_why(signed_in: Browser, option: Option) -> None:
    Option.objects.filter(pk=option.pk).update(design={**option.design, "lattice_filament": "No such colour"})
    assert "This option has no plates." in signed_in.get(PLACE, {"option": option.pk}).content.decode()


TYPED = st.one_of(
    st.text(st.characters(exclude_categories=["Cs"]), max_size=20),
    st.floats().map(str),
    st.integers().map(str),
    st.sampled_from(["Small bed", "standard", "on", "off", "100", "3:20", "9" * 400, "1e-320", "99999h"]),
)


@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow])
@given(
    typed=st.dictionaries(
        st.sampled_from([*Measured.__dataclass_fields__, "remove", "undo", "hazard", "list", "measured.0"]),
        TYPED,
    )
)
def test_whatever_is_typed_is_answered(signed_in: Browser, typed: dict[str, str]) -> None:
    assert post(signed_in, **typed).status_code in (302, 409, 422)
    assert signed_in.get(PLACE).status_code == 200
