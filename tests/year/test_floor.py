"""One job in an empty workshop: the day that is promised, and what happens minute by minute."""

from datetime import date, timedelta
from random import Random

import pytest

from studio.making.calendar import schedule
from studio.making.equipment import Printer
from studio.making.plate import Plate as Planned
from studio.making.shop import ShopState
from studio.making.to_make import ToMake
from tests.year.floor import Floor, Job, Plate, is_worked, next_worked

DAY, MONDAY, HAZARD = timedelta(days=1), date(2027, 1, 25), 0.01
SHOP = ShopState(people_hours_per_day=2, sample_days=0, deposit_days=0)
PRINTERS = (Printer(name="Small bed"), Printer(name="Large bed", bed_width_mm=350, bed_depth_mm=350))
PLATES = [("Small bed", minutes) for minutes in (222, 307, 258, 258, 194, 222, 26)]
PLATES += [("Large bed", minutes) for minutes in (35, 310, 225)]


def ready_on(luck: int, plates: list[tuple[str, int]], before: float, after: float) -> date:
    floor = Floor(Random(luck), {"Small bed": 1, "Large bed": 1}, HAZARD, swap_minutes=10)
    waiting = [Plate(printer, "Tea", minutes, 10) for printer, minutes in plates]
    labour = floor.stretched(before, SHOP.labour_spread), floor.stretched(after, SHOP.labour_spread)
    job, day = Job("one", 1, waiting, *labour, comes=MONDAY), MONDAY
    floor.jobs.append(job)
    while job.made_on is None:
        if is_worked(day):
            floor.work(day, SHOP.people_hours_per_day, {}, lambda *_: True)
        day += DAY
    return next_worked(job.made_on + DAY)


@pytest.mark.parametrize(("plates", "before", "after"), [(10, 220, 190), (10, 600, 190), (3, 220, 150)])
def test_what_is_promised_of_one_job_holds_as_often_as_is_promised(plates, before, after) -> None:
    """Days are whole, so that it holds more often, but not a working day earlier."""
    planned = [Planned(printer, "Tea", (), 1, minutes, 10, 0.5) for printer, minutes in PLATES[:plates]]
    promised = schedule(ToMake(planned, before, after), SHOP, MONDAY, PRINTERS, HAZARD)
    ready = [ready_on(luck, PLATES[:plates], before, after) for luck in range(60)]
    assert sum(day <= promised.held_on for day in ready) >= 0.85 * len(ready)
    assert sum(day < promised.held_on for day in ready) < 0.9 * len(ready)
