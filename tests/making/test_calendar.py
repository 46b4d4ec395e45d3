"""Dates: two resources, printers and people; the published bound of list scheduling; and what may never
happen."""

from collections import defaultdict
from datetime import date, datetime, time, timedelta
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from studio.making.calendar import Dates, PrinterRun, schedule, unknown_printers
from studio.making.plan import Plate
from studio.making.shop import Promise, ShopState
from studio.making.to_make import ToMake
from studio.problem import Refused
from tests.making.made import printer

MONDAY = date(2026, 3, 2)
ALWAYS = ShopState(
    working_days=(1, 2, 3, 4, 5, 6, 7),
    attended_from_hour=0,
    attended_to_hour=24,
    people_hours_per_day=200,
    swap_minutes=0,
    curing_days=0,
    deposit_days=0,
    sample_days=0,
)
AT_ONCE = {"deposit_days": 0, "sample_days": 0, "curing_days": 0}


def plates(*minutes: float, kind: str = "Small bed") -> tuple[Plate, ...]:
    return tuple(Plate(kind, "Tea", (), 1, length, 100.0, 0.5) for length in minutes)


def dates(
    *minutes: float,
    shop: ShopState,
    count: int = 1,
    before: float = 0,
    after: float = 0,
    site: float = 0,
    as_of: date = MONDAY,
    failures_per_hour: float = 0,
) -> Dates:
    job = ToMake(plates(*minutes), before, after, site)
    return schedule(job, shop, as_of, [printer(count=count)], failures_per_hour)


# R. L. Graham, "Bounds on multiprocessing timing anomalies", SIAM J. Appl. Math. 17 (1969): longest first
# takes at most 4/3 - 1/(3m) of the best; the instances (from memory) reach it.
@pytest.mark.parametrize(
    ("machines", "jobs", "longest_first", "best"),
    [
        (2, (3, 3, 2, 2, 2), 7, 6),
        (3, (5, 5, 4, 4, 3, 3, 3), 11, 9),
        (4, (7, 7, 6, 6, 5, 5, 4, 4, 4), 15, 12),
        (5, (9, 9, 8, 8, 7, 7, 6, 6, 5, 5, 5), 19, 15),
    ],
)
def test_longest_first_reaches_its_published_bound(
    machines: int, jobs: tuple[int, ...], longest_first: int, best: int
) -> None:
    found = dates(*(60 * job for job in jobs), shop=ALWAYS, count=machines)
    ends = max(run.ends for run in found.runs) - datetime(2026, 3, 2)
    assert ends / timedelta(hours=1) == pytest.approx(longest_first)
    assert ends / timedelta(hours=1) == pytest.approx((4 / 3 - 1 / (3 * machines)) * best)
    assert longest_first >= max(max(jobs), sum(jobs) / machines)


def test_ten_working_days_over_easter() -> None:
    # 2026-03-27 and ten working days in England: 2026-04-14 (see test_working_days).
    shop = ShopState(**AT_ONCE, people_hours_per_day=7)
    found = dates(shop=shop, after=11 * 7 * 60, as_of=date(2026, 3, 27))
    assert (found.starts_on, found.ready_on, found.working_days) == (date(2026, 3, 27), date(2026, 4, 14), 10)


def test_nights_are_used_by_long_plates_and_nobody_swaps_at_night() -> None:
    shop = ShopState(**AT_ONCE, attended_from_hour=9, attended_to_hour=17)
    found = dates(840, 120, 90, shop=shop)
    clock = [(run.plate, run.starts, run.ends) for run in found.runs]
    assert clock == [
        (1, datetime(2026, 3, 2, 9, 10), datetime(2026, 3, 2, 11, 10)),
        (2, datetime(2026, 3, 2, 11, 20), datetime(2026, 3, 2, 12, 50)),
        (0, datetime(2026, 3, 2, 13, 0), datetime(2026, 3, 3, 3, 0)),
    ]
    assert (found.printed_on, found.ready_on, found.working_days) == (date(2026, 3, 3), date(2026, 3, 3), 1)


def test_a_plate_that_ends_at_night_waits_for_the_morning() -> None:
    shop = ShopState(**AT_ONCE, attended_from_hour=9, attended_to_hour=17)
    found = dates(600, 600, shop=shop)
    assert [run.starts for run in found.runs] == [datetime(2026, 3, 2, 9, 10), datetime(2026, 3, 3, 9, 10)]
    assert found.printed_on == date(2026, 3, 4)  # it ends at 19:10


def test_a_plate_over_the_weekend_is_done_on_monday() -> None:
    shop = ShopState(**AT_ONCE)
    assert dates(900, shop=shop, as_of=date(2026, 3, 6)).printed_on == date(2026, 3, 9)


def test_labour_comes_before_and_after_and_takes_the_days_hours() -> None:
    # 8 attended hours of 8: two hours of survey, a plate of one hour swapped on in ten minutes; 4 h 50 min
    # are left.
    shop = ShopState(**AT_ONCE, attended_from_hour=9, attended_to_hour=17, people_hours_per_day=8)
    found = dates(60, shop=shop, before=120, after=4 * 60 + 50)
    assert found.runs[0].starts == datetime(2026, 3, 2, 11, 10)
    assert found.ready_on == MONDAY
    assert dates(60, shop=shop, before=120, after=4 * 60 + 51).ready_on == date(2026, 3, 3)


def test_swaps_use_up_peoples_hours() -> None:
    shop = ShopState(**AT_ONCE, people_hours_per_day=0.5)  # three swaps a day, however many printers wait
    found = dates(*[60] * 7, shop=shop, count=7)
    days = [run.starts.date().day for run in found.runs]
    assert days == [2, 2, 2, 3, 3, 3, 4]


def test_promised_jobs_come_first() -> None:
    shop = ShopState(**AT_ONCE, promised=(Promise(printer="Small bed", printer_hours=20, people_hours=0),))
    found = dates(60, shop=shop)
    assert [run.plate for run in found.runs] == [None, None, 0]  # 900 minutes, 300 minutes, ours
    # 9:10 to 0:10; on the second day 9:10 to 14:10, then ours.
    assert found.runs[2].starts == datetime(2026, 3, 3, 14, 20)
    busy = ShopState(**AT_ONCE, promised=(Promise(printer="Small bed", people_hours=14),))
    assert dates(60, shop=busy).runs[0].starts.date() == date(2026, 3, 4)


def test_jobs_under_way_go_on_until_ours_begin() -> None:
    # Ours start on Monday 9 March; 100 h are six runs of 15 h and one of 10 h, one a day from 9:10 on.
    week = {**AT_ONCE, "sample_days": 7}

    def ours(under_way: bool, hours: float) -> datetime:
        job = Promise(printer="Small bed", printer_hours=hours, under_way=under_way)
        found = dates(60, shop=ShopState(**week, promised=(job,)))
        return next(run.starts for run in found.runs if run.plate == 0)

    # From Tuesday 3 to Friday 6 four runs go on, the last ends on Saturday: 40 h are left, on 9, 10 and 11.
    assert ours(under_way=True, hours=100) == datetime(2026, 3, 12, 9, 10)
    # Seven from 9 on, the seventh on Tuesday 17 until 19:10.
    assert ours(under_way=False, hours=100) == datetime(2026, 3, 18, 9, 10)
    assert ours(under_way=True, hours=60) == datetime(2026, 3, 9, 9, 10)


def test_people_go_on_with_what_is_under_way() -> None:
    # 7 h a day from Tuesday 3 on; ours begin on Thursday 5 with 21 - 14 = 7 h of others before them.
    three = {**AT_ONCE, "sample_days": 3}

    def ours(as_of: date = MONDAY, **job: float | bool) -> date:
        found = dates(60, shop=ShopState(**three, promised=(Promise(**job),)), as_of=as_of)  # type: ignore[arg-type]
        return found.runs[-1].starts.date()

    assert ours(people_hours=21, under_way=True) == date(2026, 3, 6)
    assert ours(people_hours=21) == date(2026, 3, 10)
    assert ours(people_hours=14, under_way=True) == date(2026, 3, 5)
    # Asked on a Friday, ours begin on the Monday: nobody works in between.
    assert ours(date(2026, 3, 6), people_hours=14, under_way=True) == date(2026, 3, 11)


def test_what_runs_on_the_morning_of_our_start_is_left_of_what_is_under_way() -> None:
    # Somebody is always there: on Tuesday 3 runs of 15 h go on at 0:10 and 15:20, the second until 6:20:
    # at midnight 380 minutes of it are left; put on anew at 0:10 they end at 6:30, on the safe side.
    always = {**AT_ONCE, "sample_days": 2, "attended_from_hour": 0, "attended_to_hour": 24}
    job = Promise(printer="Small bed", printer_hours=30, under_way=True)
    found = dates(60, shop=ShopState(**always, promised=(job,)))
    assert [(run.plate, run.starts) for run in found.runs] == [
        (None, datetime(2026, 3, 4, 0, 10)),
        (0, datetime(2026, 3, 4, 6, 40)),
    ]


def test_deposit_and_curing() -> None:
    # Saturday 7 March is no working day: Monday 9. Made on 9, cured on 11.
    found = dates(60, shop=ShopState(deposit_days=5, sample_days=2, curing_days=2))
    assert (found.starts_on, found.ready_on, found.working_days) == (date(2026, 3, 9), date(2026, 3, 11), 2)


@pytest.mark.parametrize(("deposit", "samples", "starts"), [(3, 10, 12), (10, 3, 12), (0, 0, 2), (4, 5, 9)])
def test_it_begins_with_the_later_of_deposit_and_colours(deposit: int, samples: int, starts: int) -> None:
    # From Monday 2 March, in days of the calendar; the 7th is a Saturday.
    found = dates(60, shop=ShopState(deposit_days=deposit, sample_days=samples))
    assert found.starts_on == date(2026, 3, starts)


@pytest.mark.parametrize(
    ("site", "days", "hung_from"),
    [
        (0, 0, None),
        (240, 1, date(2026, 3, 4)),
        (7 * 60, 1, date(2026, 3, 4)),
        (7 * 60 + 1, 2, date(2026, 3, 4)),
    ],
)
def test_the_work_on_site_is_an_appointment_after_being_ready(
    site: float, days: int, hung_from: date | None
) -> None:
    # A plate of 15 hours, put on on Monday, is off on Tuesday; there is nothing else to do.
    found = dates(900, shop=ShopState(**AT_ONCE), site=site)
    assert (found.ready_on, found.held_on) == (date(2026, 3, 3), date(2026, 3, 3))
    assert (found.hung_from, found.site_days) == (hung_from, days)


@pytest.mark.parametrize(
    ("out", "hours", "hung_from"),
    [
        ((4,), 7, 5),
        ((5,), 7, 4),
        ((4, 5), 7, 6),
        ((5,), 14, 6),  # two days in a row: Friday and Monday
        ((4, 6), 14, 9),  # Thursday alone is not enough
    ],
)
def test_the_van_is_out_for_others(out: tuple[int, ...], hours: int, hung_from: int) -> None:
    # Ready on Tuesday 3 March, as above: from Wednesday the 4th.
    shop = ShopState(**AT_ONCE, van_out=tuple(date(2026, 3, day) for day in out))
    found = dates(900, shop=shop, site=60 * hours)
    assert (found.held_on, found.hung_from) == (date(2026, 3, 3), date(2026, 3, hung_from))


@pytest.mark.parametrize(("road", "there"), [(0, None), (1, 4), (3, 6), (4, 9)])
def test_a_carrier_has_it_on_the_road(road: int, there: int | None) -> None:
    # Ready on Tuesday 3 March, as above; four working days later is Monday the 9th. Nobody of ours is there.
    shop = ShopState(**AT_ONCE, van_out=(date(2026, 3, 4),))
    job = ToMake(plates(900), road_days=road)
    found = schedule(job, shop, MONDAY, [printer()])
    assert (found.held_on, found.site_days, found.road_days) == (date(2026, 3, 3), 0, road)
    assert found.hung_from == (date(2026, 3, there) if there else None)


def test_nobody_hangs_anything_on_a_day_off() -> None:
    # Ready on Thursday before Easter: Good Friday, the weekend and Easter Monday pass (England, 2026).
    found = dates(900, shop=ShopState(**AT_ONCE), site=60, as_of=date(2026, 4, 1))
    assert (found.held_on, found.hung_from) == (date(2026, 4, 2), date(2026, 4, 7))


def test_two_kinds_of_printer_work_at_once() -> None:
    both = ToMake(plates(300) + plates(300, kind="Large bed"))
    found = schedule(both, ShopState(**AT_ONCE), MONDAY, [printer(), printer("Large bed")])
    assert [run.starts for run in found.runs] == [datetime(2026, 3, 2, 9, 10), datetime(2026, 3, 2, 9, 20)]


def test_a_job_on_a_printer_of_other_rates_is_in_nobodys_way_but_for_its_people() -> None:
    attic = ShopState(**AT_ONCE, promised=(Promise(printer="Attic", printer_hours=20, people_hours=7),))
    found = dates(60, shop=attic)
    assert [run.starts for run in found.runs] == [datetime(2026, 3, 3, 9, 10)]  # after a day of 7 hours
    (problem,) = unknown_printers(attic, [printer()])
    assert problem.field == "shop_state.promised.0.printer"
    assert not list(unknown_printers(attic, [printer("Attic")]))


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"attended_from_hour": 9, "attended_to_hour": 9}, "shop_state.attended_to_hour"),
        ({"attended_from_hour": 17, "attended_to_hour": 9}, "shop_state.attended_to_hour"),
        ({"swap_minutes": 60, "people_hours_per_day": 0.5}, "shop_state.swap_minutes"),
        ({"attended_from_hour": 0, "attended_to_hour": 1e-300}, "shop_state.attended_to_hour"),
        ({"swap_minutes": 0, "people_hours_per_day": 1e-320}, "shop_state.people_hours_per_day"),
        ({"country": "ZZ"}, "shop_state.country"),
        ({"promised": (Promise(printer="Small bed", people_hours=99_999),)}, "shop_state"),
        ({"promised": (Promise(printer="Small bed", printer_hours=99_999),)}, "shop_state"),
    ],
)
def test_calendars_that_lead_nowhere(changes: dict[str, object], field: str) -> None:
    with pytest.raises(Refused) as caught:
        dates(60, shop=ShopState(**changes))
    assert [problem.field for problem in caught.value.problems] == [field]


@pytest.mark.parametrize("as_of", [date(1, 1, 1), date(1999, 12, 31), date(9999, 12, 31)])
def test_days_without_a_calendar(as_of: date) -> None:
    with pytest.raises(Refused, match="a day from 2000 to 2100"):
        dates(60, shop=ShopState(), as_of=as_of)


def test_work_on_site_that_never_ends() -> None:
    with pytest.raises(Refused, match="on site"):
        dates(60, shop=ShopState(), site=10_000_000)


def put_on(run: PrinterRun, shop: ShopState) -> date:
    """The day on which a plate was put on, which must be within its attended hours."""
    day = run.starts.date()
    minute = (run.starts - datetime.combine(day, time())) / timedelta(minutes=1)
    assert 60 * shop.attended_from_hour + shop.swap_minutes <= minute + 1e-3
    assert minute <= 60 * shop.attended_to_hour + 1e-3
    return day


SHOPS = st.builds(
    ShopState,
    working_days=st.sampled_from([(1, 2, 3, 4, 5), (2, 4), (1, 2, 3, 4, 5, 6, 7)]),
    attended_from_hour=st.sampled_from([0, 7.5, 9]),
    attended_to_hour=st.sampled_from([12.25, 17, 23.9]),
    people_hours_per_day=st.sampled_from([2, 7, 20]),
    swap_minutes=st.sampled_from([0, 5, 45]),
    promised=st.lists(
        st.builds(
            Promise,
            printer=st.just("Small bed"),
            printer_hours=st.floats(0, 60),
            people_hours=st.floats(0, 30),
        ),
        max_size=2,
    ).map(tuple),
)


@settings(max_examples=60)
@given(
    st.lists(st.floats(10, 900), max_size=25), SHOPS, st.integers(1, 4), st.floats(0, 900), st.floats(0, 3000)
)
def test_what_may_never_happen(
    minutes: list[float], shop: ShopState, count: int, before: float, after: float
) -> None:
    found = dates(*minutes, shop=shop, count=count, before=before, after=after)
    assert found == dates(*minutes, shop=shop, count=count, before=before, after=after)
    assert sorted(run.plate for run in found.runs if run.plate is not None) == list(range(len(minutes)))
    swaps: dict[date, float] = defaultdict(float)
    units: dict[int, list[tuple[datetime, datetime]]] = defaultdict(list)
    for run in found.runs:
        swap = run.starts - timedelta(minutes=shop.swap_minutes)
        swaps[put_on(run, shop)] += shop.swap_minutes
        units[run.unit].append((swap, run.ends))
    assert all(used <= 60 * shop.people_hours_per_day + 1e-6 for used in swaps.values())
    assert all(day.isoweekday() in shop.working_days for day in swaps)
    for busy in units.values():
        assert all(first[1] <= second[0] + timedelta(seconds=1) for first, second in pairwise(busy))
    assert set(units) <= set(range(1, count + 1))
    assert found.starts_on <= found.printed_on <= found.ready_on <= found.held_on
    assert found.working_days <= found.held_working_days
