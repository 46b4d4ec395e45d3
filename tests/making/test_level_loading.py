"""Dates behind three sold jobs, against finite loading by hand: day by day, in the order of the yeses."""

from dataclasses import replace
from datetime import date, datetime

import pytest

from studio.making.booked import Amounts, amounts, shop_state, summed
from studio.making.calendar import ToMake, schedule
from studio.making.plate import Plate
from studio.making.shop import Calendar
from tests.making.made import printer

# Two printers. Each is given a plate of its longest run, 15 hours, at nine in the morning and prints until
# midnight; nobody is there to give it another before the next morning: 30 hours on a working day, in all.
# Working days from Monday 2 March 2026, none of them a holiday: 1 to 5 are 2 to 6 March, 6 to 10 are 9 to 13,
# 11 to 15 are 16 to 20, 16 is the 23rd.
#
#   job      hours   day 1-5   6    7-9   10   11-12   left afterwards
#   first     160      150    10                       20 h of day 6: the next client begins on 9 March
#   second    139             20     90   29           1 h of day 10 after closing: on 16 March
#   third      61                         1     60     nothing: on day 13, 18 March
#
# Their people's hours are 16, 14 and 6: 36 of 8 a day are four and a half days, over before the printers are.
# Where the third takes 91 (121 hours, 15 days and one) people are what is waited for: day 16, 23 March.
CALENDAR = Calendar(
    attended_from_hour=9,
    attended_to_hour=17,
    people_hours_per_day=8,
    swap_minutes=0,
    curing_days=0,
    deposit_days=0,
    sample_days=0,
)
MONDAY = date(2026, 3, 2)


def sold(printing: int, people: int) -> Amounts:
    return amounts(printer_minutes={"Small bed": 60 * printing}, people_minutes={"making": 60 * people})


FIRST, SECOND, THIRD = sold(160, 16), sold(139, 14), sold(61, 6)


@pytest.mark.parametrize(
    ("jobs", "begins"),
    [
        ([], MONDAY),
        ([FIRST], date(2026, 3, 9)),
        ([FIRST, SECOND], date(2026, 3, 16)),
        ([FIRST, SECOND, THIRD], date(2026, 3, 18)),
        ([THIRD, SECOND, FIRST], date(2026, 3, 18)),
        ([FIRST, SECOND, sold(61, 91)], date(2026, 3, 23)),
    ],
)
def test_the_next_client_begins_where_the_load_leaves_room(jobs: list[Amounts], begins: date) -> None:
    shop = shop_state(CALENDAR, summed(jobs), {}, ["Small bed"])
    job = ToMake([Plate("Small bed", "Tea", (), 1, 5 * 60, 100.0, 0.5)])
    found = schedule(job, shop, MONDAY, [printer(count=2)])
    (own,) = [run for run in found.runs if run.plate is not None]
    assert own.starts.date() == begins


# Where a swap takes 10 minutes and the three jobs 46 h, 41 h 40 and 16 h of people, their swaps among them:
# the printers take 11, 20 and 24 runs of 15 hours, two on a day, so that 20 of a day's 480 minutes are swaps.
#
#   jobs    people's minutes   swaps   the rest   on days before            on the last day
#   one     2760               110     2650       5 x 460 = 2300            350 from 9:00: 14:50 on day 6
#   two     5260               200     5060       10 x 460 = 4600           460: 16:40 on day 11
#   three   6220               240     5980       12 x 460 = 5520           460: 16:40 on day 13
#
# Our plate is put on in the ten minutes after. With swaps taken twice, two jobs would leave 660 minutes to
# day 11 and three 700 to day 13, more than a day has.
SWAPS = (
    amounts(printer_minutes={"Small bed": 9600}, people_minutes={"printing": 260, "making": 2500}),
    amounts(printer_minutes={"Small bed": 8340}, people_minutes={"printing": 200, "making": 2300}),
    amounts(printer_minutes={"Small bed": 3660}, people_minutes={"": 960}),  # typed by hand, without stages
)


@pytest.mark.parametrize(
    ("count", "starts"),
    [
        (1, datetime(2026, 3, 9, 15, 0)),
        (2, datetime(2026, 3, 16, 16, 50)),
        (3, datetime(2026, 3, 18, 16, 50)),
    ],
)
def test_swaps_of_booked_jobs_are_taken_once(count: int, starts: datetime) -> None:
    shop = shop_state(replace(CALENDAR, swap_minutes=10), summed(SWAPS[:count]), {}, ["Small bed"])
    job = ToMake([Plate("Small bed", "Tea", (), 1, 5 * 60, 100.0, 0.5)])
    found = schedule(job, shop, MONDAY, [printer(count=2)])
    (own,) = [run for run in found.runs if run.plate is not None]
    assert own.starts == starts
    assert found.held_on == found.ready_on  # every seeded course takes them once, too


def test_hours_of_a_kind_that_is_gone_are_loaded_on_every_kind() -> None:
    """The first job's printer was sold: 160 hours wait for each of the others, whichever will print them."""
    elsewhere = amounts(printer_minutes={"Sold one": 60 * 160}, people_minutes={"making": 60 * 16})
    kinds = [printer(count=2), printer("Large bed", count=2)]
    shop = shop_state(CALENDAR, elsewhere, {}, [kind.name for kind in kinds])
    for kind in kinds:
        job = ToMake([Plate(kind.name, "Tea", (), 1, 5 * 60, 100.0, 0.5)])
        (own,) = [run for run in schedule(job, shop, MONDAY, kinds).runs if run.plate is not None]
        assert own.starts.date() == date(2026, 3, 9)
