"""What a day hangs on, in one sentence, and where a panel is after its appointment."""

from dataclasses import replace
from datetime import date, datetime

import pytest

from studio.commissions.date_words import hangs_on, place_words
from studio.making.calendar import Dates, PrinterRun
from studio.making.to_make import Wait
from studio.voice import PLAIN

DATES = Dates(9, date(2026, 3, 12), date(2026, 3, 18), date(2026, 3, 25), 9, date(2026, 3, 25), 90)
OTHERS = PrinterRun("Small bed", 1, None, datetime(2026, 3, 12, 9), datetime(2026, 3, 12, 20))
TEA, SHEET = Wait("Tea", 3, "printing"), Wait("Backing sheet", 1, "making")


def test_what_a_day_hangs_on() -> None:
    assert hangs_on(DATES, PLAIN) == (
        "It hangs on deposit and colours by Thu, 12 Mar 2026, printing until Wed, 18 Mar 2026 and being made "
        "and cured by Wed, 25 Mar 2026."
    )
    busy = replace(DATES, held_working_days=11, runs=(OTHERS,), waits=(TEA, SHEET, Wait("Hooks", 9, "site")))
    assert hangs_on(busy, PLAIN) == (
        "It hangs on deposit and colours by Thu, 12 Mar 2026, the jobs that are booked before it, buying "
        "Tea (3 days) and Backing sheet (1 day), printing until Wed, 18 Mar 2026 and being made and cured by "
        "Wed, 25 Mar 2026; 2 working days more in case plates fail or work takes longer."
    )


@pytest.mark.parametrize(
    ("delivery", "mounting", "place"),
    [
        ("delivered and hung", "wall", "on your wall"),
        ("delivered and hung", "free-standing", "in its place"),
        ("delivered", "wall", "with you"),
    ],
)
def test_where_it_is_then(delivery, mounting, place) -> None:
    assert place_words(delivery, mounting) == place
