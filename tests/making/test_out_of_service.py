"""Printers out of service: nothing is put on them, and people work on."""

from datetime import date, datetime

from hypothesis import given, settings
from hypothesis import strategies as st

from studio.making.shop import OutOfService, ShopState
from tests.making.test_calendar import AT_ONCE, MONDAY, dates

SHOP = ShopState(**AT_ONCE, attended_from_hour=9, attended_to_hour=17, swap_minutes=0, people_hours_per_day=8)
TUESDAY, WEDNESDAY, FRIDAY = (date(2026, 3, day) for day in (3, 4, 6))


def without(count: int, from_day: date, to_day: date, printer: str = "Small bed", **fields) -> ShopState:
    out = OutOfService(printer=printer, count=count, from_day=from_day, to_day=to_day, why="new belts")
    return ShopState(**{**vars_of(SHOP), "out_of_service": (out,), **fields})


def vars_of(shop: ShopState) -> dict[str, object]:
    return {name: getattr(shop, name) for name in ShopState.__dataclass_fields__}


def test_a_level_load_by_hand() -> None:
    # Six plates of 14 hours on two printers, one each a day (9:00 to 23:00): Monday, Tuesday, Wednesday, and
    # off on Thursday morning. With the second one out on Tuesday and Wednesday: 2 + 1 + 1 + 2, the last pair
    # on Thursday, off on Friday morning.
    assert dates(*[840] * 6, shop=SHOP, count=2).printed_on == date(2026, 3, 5)
    found = dates(*[840] * 6, shop=without(1, TUESDAY, WEDNESDAY), count=2)
    put_on = [(run.unit, run.starts.day, run.starts.hour) for run in found.runs]
    assert put_on == [(1, 2, 9), (2, 2, 9), (1, 3, 9), (1, 4, 9), (1, 5, 9), (2, 5, 9)]
    assert found.printed_on == found.ready_on == FRIDAY


def test_what_runs_when_it_goes_out_of_service_is_let_end() -> None:
    found = dates(900, 900, shop=without(1, TUESDAY, TUESDAY))
    assert [run.starts for run in found.runs] == [datetime(2026, 3, 2, 9), datetime(2026, 3, 4, 9)]
    assert found.runs[0].ends == datetime(2026, 3, 3, 0)


def test_people_work_on() -> None:
    # A plate on Monday, off on Tuesday morning, then two days of work: whether the printer serves or not.
    shop = without(1, TUESDAY, FRIDAY)
    assert dates(840, shop=shop, after=16 * 60).ready_on == WEDNESDAY
    assert dates(840, shop=SHOP, after=16 * 60).ready_on == WEDNESDAY


def test_a_plate_that_failed_there_is_printed_on_another() -> None:
    # At 0.05 an hour, e^0.7 - 1 = 1.01 runs more are expected of a plate of 14 hours: two plates, two
    # failures, the first plate's and the second's. Each of the two printers has one at a time; from Tuesday
    # the second is out, and both are printed again on the first: on Tuesday and on Wednesday.
    found = dates(840, 840, shop=without(1, TUESDAY, FRIDAY), count=2, failures_per_hour=0.05)
    assert [(run.unit, run.starts.day, run.again) for run in found.runs] == [
        (1, 2, False), (2, 2, False), (1, 3, True), (1, 4, True),
    ]  # fmt: skip
    assert found.printed_on == date(2026, 3, 5)


def test_more_than_there_are_is_all_and_another_kind_is_none() -> None:
    few, many = (dates(840, 840, shop=without(n, MONDAY, TUESDAY), count=2) for n in (2, 9))
    assert few == many
    assert dates(840, shop=without(1, MONDAY, FRIDAY, "Large bed")).runs == dates(840, shop=SHOP).runs


@settings(max_examples=40)
@given(
    st.lists(st.floats(10, 900), max_size=12),
    st.integers(1, 3),
    st.lists(st.integers(0, 20), max_size=6, unique=True),
)
def test_all_out_is_as_if_those_days_had_no_printing(minutes, count, closed) -> None:
    # Without labour, a day off is nothing else.
    days = [date.fromordinal(MONDAY.toordinal() + n) for n in closed]
    out = tuple(OutOfService(printer="Small bed", count=count, from_day=day, to_day=day) for day in days)
    shops = ShopState(**AT_ONCE, out_of_service=out), ShopState(**AT_ONCE, days_off=tuple(days))
    still, off = (dates(*minutes, shop=shop, count=count) for shop in shops)
    assert [run.starts for run in still.runs] == [run.starts for run in off.runs]
