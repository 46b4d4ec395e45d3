"""What is done of the jobs that are under way until another begins."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date, timedelta

from studio.making.course import Course
from studio.making.days import Days
from studio.making.equipment import Printer
from studio.making.shop import Promise, ShopState
from studio.making.work import Work, work_of
from studio.making.working_days import working_days_of

__all__ = ["meanwhile", "others_minutes"]


def others_minutes(shop: ShopState, work: Work) -> float:
    """Minutes of people's work that others are promised, without those in which their plates are swapped: the
    courses take these when it happens."""
    swaps = work.swap_minutes * sum(kind.promised for kind in work.kinds)
    return max(0.0, 60 * sum(job.people_hours for job in shop.promised) - swaps)


def meanwhile(shop: ShopState, printers: Sequence[Printer], as_of: date, starts_on: date) -> ShopState:
    """The workshop as it is on the morning of `starts_on`, a working day, for who asks on `as_of`: the jobs
    under way have gone on in between, by the rules of `Course`, from the day after `as_of`. What has not
    begun waits. What still runs in that morning is left of it, so that no day is promised too early."""
    going = replace(shop, promised=tuple(job for job in shop.promised if job.under_way))
    if not going.promised:
        return shop
    days = Days(working_days_of(shop), as_of + timedelta(days=1), shop)
    course = Course(work_of((), going, printers), days, ())
    labour = course.go_until(starts_on, others_minutes(going, course.work))
    morning = days.opening[course.day]
    waiting = tuple(job for job in shop.promised if not job.under_way)
    return replace(shop, promised=(*_left(course, morning, labour), *waiting))


def _left(course: Course, morning: float, labour: float) -> Iterator[Promise]:
    """Hours by kind of printer, and people's with the swaps of what is not put on yet."""
    swaps = 0
    for number, queue in enumerate(course.queues):
        runs = (unit.free_at - morning for unit in course.units if unit.kind == number)
        minutes = queue.waiting_minutes + sum(max(0.0, left) for left in runs)
        swaps += queue.promised
        if minutes:
            yield Promise(printer=queue.kind.printer, printer_hours=minutes / 60, under_way=True)
    if people := labour + course.work.swap_minutes * swaps:
        yield Promise(people_hours=people / 60, under_way=True)
