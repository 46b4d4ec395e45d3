"""Bookings: steps that are written once, sums that three computations agree on, holds that end by
themselves, rows that stay."""

from datetime import date, timedelta
from typing import Any

import pytest
from django.db import IntegrityError, connection, transaction
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from studio.making.booked import FOLLOWS, KINDS, STATES, Amounts, amounts, might_come, takes
from studio.people.models import User
from studio.problem import Refused
from studio.workshop.bookings import Booked, booked, move, open_jobs
from studio.workshop.models import Booking, BookingMovement, BookingStep, StockMovement
from studio.workshop.shop import current_shop
from studio.workshop.stock import counted, move_stock, shelf

pytestmark = pytest.mark.django_db

DAY = date(2026, 3, 2)
SMALL = amounts(printer_minutes={"Small bed": 90}, people_minutes={"assembly": 30}, grams={"Tea": 250})
MORE = amounts(printer_minutes={"Small bed": 120, "Large bed": 60}, grams={"Tea": 250}, van_days=1)


def test_a_job_from_offered_to_done():
    move("job", "sent", "offered", SMALL, words="Reception backdrop")
    assert booked(DAY) == Booked({}, SMALL)
    move("job", "reserved", "held", held_until=DAY)
    assert booked(DAY) == Booked(SMALL, {})
    assert booked(DAY + timedelta(days=1)) == Booked({}, SMALL)  # no clock job, only another day
    move("job", "yes", "firm", MORE)
    move("job", "to the workshop", "released")
    assert booked(DAY + timedelta(days=400)) == Booked(MORE, {})
    move("job", "handed over", "done")
    assert booked(DAY) == Booked({}, {})
    assert Booking.objects.get().words == "Reception backdrop"
    assert [step.sequence for step in BookingStep.objects.all()] == [1, 2, 3, 4, 5]


def test_a_step_is_written_once():
    first = move("job", "yes", "firm", SMALL)
    again = move("job", "yes", "firm", MORE)
    assert again == first
    assert booked(DAY).taken == SMALL
    with pytest.raises(Refused, match="a step of another job"):
        move("another", "yes", "firm", SMALL)
    assert Booking.objects.count() == 1


@pytest.mark.parametrize(
    ("steps", "field"),
    [
        ([("done", SMALL, None)], "state"),
        ([("firm", SMALL, None), ("cancelled", None, None), ("firm", SMALL, None)], "state"),
        ([("firm", SMALL, None), ("held", None, DAY)], "state"),
        ([("held", SMALL, None)], "held_until"),
        ([("firm", SMALL, DAY)], "held_until"),
        ([("firm", {("grams", "Tea"): -1}, None)], "amounts"),
    ],
)
def test_what_cannot_follow_is_refused_and_moves_nothing(steps, field):
    *before, (state, what, until) = steps
    for number, (earlier, takes_now, held) in enumerate(before):
        move("job", f"step {number}", earlier, takes_now, held_until=held)
    rows = BookingStep.objects.count()
    with pytest.raises(Refused) as refused:
        move("job", "the last", state, what, held_until=until)
    assert [problem.field for problem in refused.value.problems] == [field]
    assert BookingStep.objects.count() == rows
    assert Booking.objects.count() == (1 if before else 0)


def test_jobs_that_are_open_with_what_they_take(owner: User):
    move("one", "1", "firm", SMALL, words="One", by=owner)
    move("typed", "2", "firm", MORE, words="Typed", by_hand=True, by=owner)
    move("gone", "3", "firm", MORE)
    move("gone", "4", "cancelled")
    (one,) = open_jobs(by_hand=False)
    assert (one.source, one.words, one.state, one.amounts) == ("one", "One", "firm", SMALL)
    assert one.total("printer minutes") == 9000
    assert [job.words for job in open_jobs(by_hand=True)] == ["Typed"]
    Booking.objects.filter(source="one").update(words=None)  # erased
    assert open_jobs(by_hand=False)[0].words == ""


def test_the_workshop_is_made_of_the_sums():
    move("one", "1", "firm", SMALL)
    move("two", "2", "held", MORE, held_until=DAY)
    counted("Tea", 60_000, None)
    shop, after = current_shop(DAY), current_shop(DAY + timedelta(days=1))
    assert [(job.printer, job.printer_hours, job.people_hours) for job in shop.promised] == [
        ("Large bed", 1, 0),
        ("Small bed", 3.5, 0),
        ("", 0, 0.5),
    ]
    assert [(row.shelf_g, row.promised_g) for row in shop.stock] == [(600, 500)]
    assert [(row.shelf_g, row.promised_g) for row in after.stock] == [(600, 250)]


def test_what_is_released_is_under_way():
    move("one", "1", "firm", SMALL)
    move("one", "2", "released")
    move("two", "3", "firm", MORE)
    assert [(job.printer, job.printer_hours, job.under_way) for job in current_shop(DAY).promised] == [
        ("Small bed", 1.5, True),
        ("", 0, True),
        ("Large bed", 1, False),
        ("Small bed", 2, False),
    ]
    assert not any(job.under_way for job in current_shop(DAY, without="one").promised)


def test_the_workshop_takes_one_query(django_assert_num_queries: Any):
    for number in range(3):
        move(f"job {number}", f"{number}", "firm", MORE)
    with django_assert_num_queries(1):
        current_shop(DAY)


@pytest.mark.parametrize(
    ("model", "changed"),
    [
        (Booking, {"source": "another"}),
        (Booking, {"words": "other words"}),
        (Booking, {"by_hand": True}),
        (BookingStep, {"state": "done"}),
        (BookingMovement, {"hundredths": 1}),
        (StockMovement, {"hundredths_g": 1}),
    ],
)
def test_rows_stay(model: Any, changed: dict[str, Any]):
    move("job", "1", "firm", SMALL, words="Screen")
    counted("Tea", 100, None)
    with pytest.raises(IntegrityError), transaction.atomic():
        model.objects.update(**changed)
    with pytest.raises(IntegrityError), transaction.atomic():
        model.objects.all()._raw_delete("default")


@pytest.mark.parametrize(
    "row",
    [
        lambda step: BookingStep(booking=step.booking, sequence=2, key="b", state="lost"),
        lambda step: BookingStep(booking=step.booking, sequence=2, key="b", state="held"),
        lambda step: BookingStep(booking=step.booking, sequence=2, key="b", state="firm", held_until=DAY),
        lambda step: BookingStep(booking=step.booking, sequence=1, key="b", state="firm"),
        lambda step: BookingStep(booking=step.booking, sequence=2, key="a", state="firm"),
        lambda step: BookingMovement(step=step, kind="hopes", name="", hundredths=1),
        lambda step: BookingMovement(step=step, kind="grams", name="Moss", hundredths=0),
        lambda step: BookingMovement(step=step, kind="grams", name="Tea", hundredths=1),
        lambda step: Booking(source=step.booking.source),
        lambda step: Booking(source=""),
        lambda step: StockMovement(filament="Tea", hundredths_g=1, why="found"),
    ],
)
def test_the_database_refuses_rows_that_say_nothing(row: Any):
    step = move("job", "a", "firm", SMALL)
    with pytest.raises(IntegrityError), transaction.atomic():
        row(step).save(force_insert=True)


def test_stock_by_filament_lot_and_spool(owner: User):
    why = StockMovement.Why
    move_stock("Tea", 100_000, why.BOUGHT, "invoice 1", lot="L7", spool="1", by=owner)
    move_stock("Tea", 100_000, why.BOUGHT, "invoice 2", lot="L7", spool="2", by=owner)
    again = move_stock("Tea", 5, why.BOUGHT, "invoice 2", by=owner)
    assert again == StockMovement.objects.get(key="invoice 2")
    with pytest.raises(Refused, match="a movement of Tea"):
        move_stock("Moss", 5, why.BOUGHT, "invoice 2", by=owner)
    move_stock("Tea", -30_000, why.USED, "plate 1", spool="1", by=owner)
    assert counted("Tea", 165_000, owner).hundredths_g == -5_000
    assert counted("Tea", 165_000, owner) is None
    assert shelf() == {"Tea": 165_000}
    assert StockMovement.objects.filter(spool="1").count() == 2


# -- three computations of the same sums

FIGURES = st.dictionaries(
    st.tuples(st.sampled_from(KINDS), st.sampled_from(("Tea", "Small bed"))),
    st.integers(1, 10**9),
    max_size=3,
)
DAYS = st.integers(-1, 1).map(lambda days: DAY + timedelta(days=days))
STEPS = st.tuples(
    st.sampled_from(("one", "two", "three")),
    st.integers(0, 12).map(str),
    st.sampled_from(STATES),
    st.none() | FIGURES,
    DAYS,
)
Job = tuple[str, date | None, Amounts]


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow])
@given(st.lists(STEPS, max_size=14))
def test_sums_after_any_steps_and_repeats(steps: list[Any]):
    with transaction.atomic():
        jobs, keys = dict[str, Job](), dict[str, str]()
        for source, key, state, what, day in steps:
            _step(jobs, keys, source, key, state, what, day if state == "held" else None)
        for as_of in (DAY - timedelta(days=1), DAY, DAY + timedelta(days=1), DAY + timedelta(days=2)):
            found = booked(as_of)
            assert found.taken == _told(jobs, as_of, takes) == _in_sql(as_of, TAKEN)
            assert found.might_come == _told(jobs, as_of, might_come) == _in_sql(as_of, MIGHT_COME)
        assert BookingStep.objects.count() == len(keys)
        transaction.set_rollback(True)


def _step(
    jobs: dict[str, Job], keys: dict[str, str], source: str, key: str, state: Any, what: Any, until: Any
) -> None:
    """The step, and what is expected of it: nothing twice, nothing out of turn."""
    before = jobs.get(source)
    if keys.get(key, source) != source or (
        key not in keys and state not in FOLLOWS[before[0] if before else None]  # type: ignore[index]
    ):
        with pytest.raises(Refused):
            move(source, key, state, what, held_until=until)
        return
    move(source, key, state, what, held_until=until)
    if key not in keys:
        keys[key] = source
        jobs[source] = (state, until, (before[2] if before else {}) if what is None else what)


def _told(jobs: dict[str, Job], as_of: date, counts: Any) -> Amounts:
    total: dict[Any, int] = {}
    for state, until, what in jobs.values():
        for key, hundredths in what.items() if counts(state, until, as_of) else ():
            total[key] = total.get(key, 0) + hundredths
    return total


TAKEN = "last.state IN ('firm', 'released') OR (last.state = 'held' AND last.held_until >= %s)"
MIGHT_COME = "last.state = 'offered' OR (last.state = 'held' AND last.held_until < %s)"


def _in_sql(as_of: date, which: str) -> Amounts:
    """Plain SQL, by a join with the highest sequence."""
    with connection.cursor() as cursor:
        cursor.execute(
            f"""SELECT m.kind, m.name, SUM(m.hundredths) FROM workshop_bookingmovement m
            JOIN workshop_bookingstep s ON s.id = m.step_id
            JOIN (SELECT booking_id, MAX(sequence) AS top FROM workshop_bookingstep GROUP BY booking_id) t
            ON t.booking_id = s.booking_id
            JOIN workshop_bookingstep last ON last.booking_id = t.booking_id AND last.sequence = t.top
            WHERE {which} GROUP BY m.kind, m.name""",
            [as_of.isoformat()] if connection.vendor == "sqlite" else [as_of],
        )
        return {(kind, name): int(total) for kind, name, total in cursor.fetchall() if total}
