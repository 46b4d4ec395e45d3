"""What has to be bought: printing, the work after it and the hanging wait for it, and the date says so."""

from datetime import date, datetime

from studio.making.calendar import Dates, schedule
from studio.making.plate import Plate
from studio.making.shop import ShopState
from studio.making.to_make import ToMake, Wait
from tests.making.made import printer
from tests.making.test_calendar import AT_ONCE, MONDAY

SHOP = ShopState(
    **AT_ONCE,
    attended_from_hour=9,
    attended_to_hour=17,
    swap_minutes=0,
    people_hours_per_day=8,
    labour_spread=0,
)
TEA = Wait("Tea", 3, "printing")
SHEET = Wait("Backing sheet", 7, "making")
HANGERS = Wait("Hangers", 10, "site")


def found(*waits: Wait, after: float = 0, site: float = 0) -> Dates:
    plates = (
        Plate("Small bed", "Tea", (), 1, 840, 100.0, 0.5),
        Plate("Small bed", "Walnut", (), 1, 800, 100.0, 0.5),
    )
    job = ToMake(plates, after=after, site=site, waits=waits)
    return schedule(job, SHOP, MONDAY, [printer()])


def test_others_are_printed_until_a_filament_comes() -> None:
    # A plate a day, the longer one first: Tea on Monday, Walnut on Tuesday. Tea comes on Thursday 5 March.
    assert [run.plate for run in found().runs] == [0, 1]
    waiting = found(TEA)
    assert [(run.plate, run.starts) for run in waiting.runs] == [
        (1, datetime(2026, 3, 2, 9)), (0, datetime(2026, 3, 5, 9)),
    ]  # fmt: skip
    assert (found().ready_on, waiting.ready_on) == (date(2026, 3, 4), date(2026, 3, 6))
    assert waiting.waits == (TEA,)


def test_a_filament_that_comes_in_time_is_not_waited_for() -> None:
    walnut = Wait("Walnut", 1, "printing")
    assert found(walnut).ready_on == found().ready_on
    assert found(walnut).waits == ()


def test_work_after_printing_waits_for_what_is_bought() -> None:
    # Printed by Wednesday 4 March; the sheet comes on Monday 9, and eight hours are a day.
    assert found(after=480).ready_on == date(2026, 3, 4)
    waiting = found(SHEET, after=480)
    assert (waiting.printed_on, waiting.ready_on, waiting.held_on) == (
        date(2026, 3, 4), date(2026, 3, 9), date(2026, 3, 9),
    )  # fmt: skip
    assert waiting.waits == (SHEET,)
    assert found(SHEET).ready_on == date(2026, 3, 9)  # a thing without work belongs to the panel too


def test_things_for_the_hanging_delay_nothing_else() -> None:
    assert found(site=60).hung_from == date(2026, 3, 5)
    waiting = found(HANGERS, site=60)
    assert (waiting.ready_on, waiting.hung_from) == (date(2026, 3, 4), date(2026, 3, 12))
    assert waiting.waits == (HANGERS,)
    assert found(Wait("Screws", 2, "site"), site=60).waits == ()


def test_two_that_keep_it_waiting_together_are_both_named() -> None:
    other = Wait("Lamps", 7, "making")
    assert found(SHEET, other, after=480).waits == (SHEET, other)
    assert found(SHEET, TEA, after=480).waits == (SHEET,)  # Tea alone would be printed long before
