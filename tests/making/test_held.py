"""The date that holds in so many of the seeded courses as the studio promises."""

from datetime import date
from math import log

import holidays
import numpy as np
import pytest
from scipy.stats import lognorm, nbinom

from studio.making.calendar import started_already
from studio.making.shop import ShopState
from studio.making.working_days import working_days_of
from studio.problem import Refused
from tests.making.test_calendar import AT_ONCE, MONDAY, dates


@pytest.mark.parametrize("percent", [50, 80, 90, 99])
@pytest.mark.parametrize("failing", [0.05, 0.15, 0.35, 0.62, 0.7])
def test_a_plate_that_takes_a_day_is_late_by_its_failures(failing: float, percent: int) -> None:
    # One plate of fifteen hours, put on once a day: one working day for it, one more for each failure.
    shop = ShopState(**AT_ONCE, promise_holds_percent=percent)
    found = dates(900, shop=shop, failures_per_hour=-log(1 - failing) / 15)
    late = nbinom.ppf(percent / 100, 1, 1 - failing)
    assert found.held_working_days == max(1 + late, found.working_days)
    assert found.holds_percent == percent
    assert found.working_days == 1 + int(failing / (1 - failing) + 0.5)  # the mean, in whole runs
    assert [run.again for run in found.runs] == [False] + [True] * (found.working_days - 1)


@pytest.mark.parametrize("spread", [0.1, 0.25, 0.5])
@pytest.mark.parametrize("percent", [80, 90])
@pytest.mark.parametrize("stage", ["before", "after"])
def test_labour_is_late_by_the_point_that_is_promised(stage: str, percent: int, spread: float) -> None:
    # A hundred days' labour; the planned minutes are the mean.
    shop = ShopState(**AT_ONCE, labour_spread=spread, promise_holds_percent=percent)
    found = dates(shop=shop, **{stage: 100 * 60 * shop.people_hours_per_day})
    point = 100 * lognorm.ppf(percent / 100, spread, scale=1 / lognorm.mean(spread))
    assert found.held_working_days == pytest.approx(point, abs=1.5)  # whole days, 500 courses
    assert found.held_working_days > found.working_days


def test_without_chance_the_date_is_the_expected_one() -> None:
    shop = ShopState(labour_spread=0)
    found = dates(*[300] * 30, shop=shop, count=3, before=900, after=4000, site=500)
    assert (found.held_on, found.held_working_days) == (found.ready_on, found.working_days)


def test_never_earlier_than_expected() -> None:
    # At a spread of 1.5, 77 in 100 jobs take no longer than the mean.
    for spread in (0.5, 1, 1.5):
        shop = ShopState(labour_spread=spread)
        found = dates(*[300] * 5, shop=shop, after=6000, failures_per_hour=0.02)
        assert found.ready_on <= found.held_on


def test_held_on_is_so_many_working_days_from_the_start() -> None:
    shop = ShopState(labour_spread=0.5)
    found = dates(*[600] * 12, shop=shop, after=3000, as_of=date(2026, 3, 25), failures_per_hour=0.02)
    assert working_days_of(shop).between(found.starts_on, found.held_on) == found.held_working_days
    assert found.held_on > found.ready_on > date(2026, 4, 6)  # past Easter Monday


@pytest.mark.parametrize("as_of", [date(2026, 3, 25), date(2026, 12, 10), date(2027, 8, 20)])
def test_days_are_those_that_counting_by_the_holidays_package_and_numpy_gives(as_of: date) -> None:
    """A second way to the same days: numpy counts business days, less England's holidays."""
    closed = [
        np.datetime64(day)
        for year in (2026, 2027)
        for day in holidays.country_holidays("GB", "ENG", years=year)
    ]
    shop = ShopState(labour_spread=0.5, deposit_days=3, sample_days=10, curing_days=0)
    found = dates(*[600] * 6, shop=shop, after=2000, site=60, as_of=as_of, failures_per_hour=0.02)
    start = np.busday_offset(np.datetime64(as_of) + 10, 0, roll="forward", holidays=closed)
    after = np.array([0, found.working_days, found.held_working_days, found.held_working_days + 1])
    counted = np.busday_offset(start, after, holidays=closed).tolist()
    assert counted == [found.starts_on, found.ready_on, found.held_on, found.hung_from]


@pytest.mark.parametrize("failures_per_hour", [0.2, 0.5, 1000.0])
def test_plates_that_hardly_ever_succeed(failures_per_hour: float) -> None:
    # 900 minutes: 95 %, 99.9 % and, as far as a float can tell, all of the runs fail.
    with pytest.raises(Refused) as caught:
        dates(900, shop=ShopState(), failures_per_hour=failures_per_hour)
    assert caught.value.problems[0].field == "rate_book.failures_per_hour"


def test_work_on_site_moves_no_day_of_being_ready() -> None:
    found, hung = (dates(900, shop=ShopState(labour_spread=0.5), after=900, site=site) for site in (0, 5000))
    assert (found.ready_on, found.held_on) == (hung.ready_on, hung.held_on)


def test_a_calendar_that_only_luck_keeps_within() -> None:
    minutes = 1240 * 60 * 7.0  # nearly all working days of five years
    found = dates(shop=ShopState(labour_spread=0), after=minutes)
    assert found.held_on == found.ready_on
    with pytest.raises(Refused, match="in 10 % of the courses"):
        dates(shop=ShopState(labour_spread=0.5), after=minutes)


def test_a_start_in_the_past() -> None:
    assert not list(started_already(MONDAY, MONDAY))
    (problem,) = started_already(MONDAY, date(2026, 3, 5))
    assert (problem.field, problem.remedy) == ("as_of", "2026-03-05 or later")
    assert "3 days ago" in problem.reason


def test_the_example_spread_is_what_it_says() -> None:
    spread = ShopState().labour_spread
    assert lognorm.ppf(0.8, spread, scale=1 / lognorm.mean(spread)) == pytest.approx(1.2, abs=0.005)
