"""Many courses at once against the same courses one by one: the same days, event for event."""

from datetime import date, timedelta

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from studio.making.course import Course
from studio.making.courses import Courses, slots_of
from studio.making.days import Days
from studio.making.plate import Plate
from studio.making.shop import OutOfService, Promise, ShopState
from studio.making.work import work_of
from studio.making.working_days import working_days_of
from tests.making.made import printer

KINDS = ("Small bed", "Large bed", "Idle bed")
MONDAY = date(2026, 3, 23)

SHOPS = st.builds(
    ShopState,
    working_days=st.sampled_from([(1, 2, 3, 4, 5), (2, 4), (1, 2, 3, 4, 5, 6, 7)]),
    attended_from_hour=st.sampled_from([0, 7.5, 9]),
    attended_to_hour=st.sampled_from([12.25, 17, 24]),
    people_hours_per_day=st.sampled_from([0.75, 2, 7, 20]),
    swap_minutes=st.sampled_from([0, 5, 45]),
    promised=st.lists(
        st.builds(
            Promise,
            printer=st.sampled_from(KINDS),
            printer_hours=st.floats(0, 60),
            people_hours=st.floats(0, 30),
        ),
        max_size=2,
    ).map(tuple),
    out_of_service=st.lists(
        st.builds(
            lambda printer, count, begins, days: OutOfService(
                printer=printer,
                count=count,
                from_day=MONDAY + timedelta(days=begins),
                to_day=MONDAY + timedelta(days=begins + days),
            ),
            st.sampled_from(KINDS[:2]),
            st.integers(1, 3),
            st.integers(0, 9),
            st.integers(0, 20),
        ),
        max_size=3,
    ).map(tuple),
)
# Few lengths, so that plates tie and fill a day exactly.
LENGTHS = st.sampled_from([60.0, 120.0, 247.5, 470.0, 480.0, 600.0, 899.99]) | st.floats(10, 900)
PLATES = st.lists(
    st.builds(
        lambda kind, filament, minutes: Plate(kind, filament, (), 1, minutes, 1.0, 0.5),
        st.sampled_from(KINDS[:2]),
        st.sampled_from(["Tea", "Walnut", "Indigo"]),
        LENGTHS,
    ),
    max_size=20,
)


COMES = st.dictionaries(
    st.sampled_from(["Tea", "Walnut"]), st.integers(-1, 25).map(lambda n: MONDAY + timedelta(days=n))
)


@settings(max_examples=100)
@given(PLATES, SHOPS, COMES, st.integers(-1, 30), st.integers(1, 3), st.integers(0, 2**32))
def test_many_courses_at_once_go_as_each_goes_alone(
    plates: list[Plate], shop: ShopState, comes: dict[str, date], after: int, count: int, seed: int
) -> None:
    luck = np.random.default_rng(seed)
    printers = [printer(name, count=count) for name in KINDS]
    work = work_of(plates, shop, printers, comes, MONDAY + timedelta(days=after))
    days = Days(working_days_of(shop), MONDAY, shop)
    before, after_it = luck.uniform(-200, 900, (2, 12)).clip(0)
    failures = luck.geometric(0.7, (12, len(plates))) - 1
    at_once = Courses(work, days, before, after_it, failures).go()
    for course in range(12):
        by_plate = dict(zip((plate for _, plate in slots_of(work)), failures[course].tolist(), strict=True))
        alone = Course(work, days, [by_plate[plate] for plate in range(len(plates))])
        found = alone.go(before[course], after_it[course])
        assert found is not None
        assert at_once[course] == found[1]
        assert sum(run.again for run in alone.runs) == failures[course].sum()


class Counted(np.ndarray):
    """Words of `Waiting`, and how many of them were read or written."""

    touched = 0

    def __getitem__(self, index):
        Counted.touched += len(index[0])
        return np.asarray(super().__getitem__(index))

    def __setitem__(self, index, values) -> None:
        Counted.touched += len(index[0])
        super().__setitem__(index, values)


def test_work_grows_hardly_faster_than_the_plates() -> None:
    # Steps and bytes follow the plates n, the words that are touched n log n at most.
    sizes = np.array([400, 1_600, 6_400])
    steps, words, held = np.array([course_of(plates) for plates in sizes.tolist()]).T
    most = sizes * np.log(sizes)
    assert (steps[1:] / steps[:-1] < 4.1).all()
    assert (held[1:] / held[:-1] < 4.1).all()
    assert (words[1:] / words[:-1] < most[1:] / most[:-1]).all()


def course_of(plates: int) -> tuple[int, int, int]:
    """Steps, words of `Waiting` and bytes held in ten courses; all lengths differ, 2 % of the runs fail."""
    lengths = np.linspace(30, 240, plates).tolist()
    own = [Plate(KINDS[n % 2], "Tea", (), 1, minutes, 1.0, 0.5) for n, minutes in enumerate(lengths)]
    shop = ShopState(people_hours_per_day=40)
    work = work_of(own, shop, [printer(name, count=12) for name in KINDS])
    failures = np.random.default_rng(plates).geometric(0.98, (10, plates)) - 1
    days = Days(working_days_of(shop), MONDAY, shop)
    courses = Courses(work, days, np.zeros(10), np.zeros(10), failures)
    levels = courses.here.levels
    courses.here.levels = [words.view(Counted) for words in levels]
    Counted.touched, nexts = 0, []
    step = courses._next
    courses._next = lambda: nexts.append(1) or step()
    assert (courses.go() < len(days.dates)).all()
    held = sum(value.nbytes for value in (*vars(courses).values(), *levels) if isinstance(value, np.ndarray))
    return len(nexts), Counted.touched, held
