"""What plates really took: typed, shown, taken out and brought back; what makes no sense is refused."""

from typing import Any

from django.test import Client as Browser

from studio.making.measured import Measured
from studio.workshop.books import current_book
from studio.workshop.clock import today

PLACE = "/workshop/measured/"


def plate(**changed: str) -> dict[str, str]:
    """What the page posts for a plate that took 110 % of its minutes."""
    typed = {
        "printer": "Small bed", "recipe": "standard", "text": "Reeds", "estimated_minutes": "100",
        "measured_minutes": "110", "estimated_g": "40", "measured_g": "41", "failed": "off",
    }  # fmt: skip
    return typed | {"revision": str(current_book(today())[0].pk)} | changed


def post(browser: Browser, **changed: str) -> Any:
    return browser.post(PLACE, plate(**changed))


def press(browser: Browser, button: str, value: str = "on") -> Any:
    return browser.post(PLACE, {"revision": str(current_book(today())[0].pk), button: value})


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
