"""One course of making: printers and people from event to event."""

import heapq
from bisect import bisect_right, insort
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date

from studio.making.days import Days
from studio.making.work import NOISE_MINUTES, PrinterWork, Work

__all__ = ["Course", "Run"]


@dataclass(frozen=True, slots=True)
class Run:
    """A plate on printer number `unit` (from 1) of kind number `kind`, in minutes of Days; `plate` is None
    for a promised job. `again` after a failure."""

    kind: int
    unit: int
    plate: int | None
    again: bool
    starts: float
    ends: float


class Course:
    """How making goes when plate n of the plan fails `failures[n]` times.

    A failed run is counted whole: its plate waits again once the run would have been over, and goes on the
    same printer, or a longer plate that waits for it does. Of a printer that is out of service it waits for
    others from the morning on.
    """

    def __init__(self, work: Work, days: Days, failures: Sequence[int]) -> None:
        self.work, self.days = work, days
        self.failures = list(failures)
        self.queues = [_Queue(kind, work.comes) for kind in work.kinds]
        self.coming = sorted(
            (work.comes[plate], k, minutes, plate)
            for k, kind in enumerate(work.kinds)
            for minutes, plate in kind.plates
            if plate in work.comes
        )
        self.serving = [kind.count for kind in work.kinds]
        places = ((k, n + 1) for k, kind in enumerate(work.kinds) for n in range(kind.count))
        self.units = [_Unit(0.0, order, *place) for order, place in enumerate(places)]
        self.runs: list[Run] = []
        self.day = 0
        self.hands: list[float] = []
        self.minutes_left = 0.0
        self.last_end = 0.0

    def go(self, before: float, after: float) -> tuple[int, int] | None:
        """The numbers of the days on which the last plate is off and on which the labour after printing ends;
        None where no day of the calendar is late enough. `before` and `after` are minutes of labour."""
        printed = None
        while self.days.reach(self.day):
            now = self._open()
            if before > 0:
                self._swap(own=False)
                before, now = self._labour(before, now)
            if before <= 0 and printed is None:
                self._swap(own=True, since=now)
                now = max(now, self._done_at())
                printed = self.day if now <= self._closing else None
            if printed is not None and self.days.dates[self.day] >= self.work.after_from:
                after, now = self._labour(after, now)
                if after <= 0:
                    return printed, self.day
            self.day += 1
        return None

    def go_until(self, day: date, before: float) -> float:
        """Only what others are promised, up to the morning of a working day: what is left of `before`, their
        minutes of labour. `self.day` is that day's number then."""
        while self.days.reach(self.day) and self.days.dates[self.day] < day:
            now = self._open()
            self._swap(own=False)
            before, _ = self._labour(before, now)
            self.day += 1
        return before

    @property
    def _closing(self) -> float:
        return self.days.closing[self.day]

    def _open(self) -> float:
        """A new day: everybody is there, nobody has worked yet. When it opens."""
        opening, today = self.days.opening[self.day], self.days.dates[self.day]
        self.hands = [opening] * self.work.hands
        self.minutes_left = self.work.minutes_a_day
        while self.coming and self.coming[0][0] <= today:
            _on, kind, minutes, plate = self.coming.pop(0)
            self.queues[kind].wait((minutes, plate))
        if self.work.ever_out:
            self._out_of_service(today, opening)
        return opening

    def _out_of_service(self, today: date, opening: float) -> None:
        self.serving = [kind.serving(today) for kind in self.work.kinds]
        for unit in self.units:
            out = unit.unit > self.serving[unit.kind]
            if out and unit.failed is not None and unit.free_at <= opening:
                self.queues[unit.kind].wait_again(unit.failed)
                unit.failed = None

    def _labour(self, minutes: float, now: float) -> tuple[float, float]:
        """Work on `minutes` of labour from `now`: what is left of it, and when the day's work stops. The
        day's hours are spread evenly over the time that somebody is there."""
        done = min(minutes, self.minutes_left, max(0.0, self._closing - now) * self.work.rate)
        self.minutes_left -= done
        left = minutes - done
        return (left if left > NOISE_MINUTES else 0.0), now + done / self.work.rate

    def _swap(self, own: bool, since: float = 0.0) -> None:
        """Put on plates until the day closes, hands or people's hours run out, or no plate is waiting.
        Only promised jobs' runs unless `own`."""
        self.hands = [max(hand, since) for hand in self.hands]
        heapq.heapify(self.hands)
        heapq.heapify(self.units)
        idle = []
        while self.units and self.minutes_left >= self.work.swap_minutes:
            unit = heapq.heappop(self.units)
            start = max(unit.free_at, self.hands[0]) + self.work.swap_minutes
            serves = unit.unit <= self.serving[unit.kind] and start <= self._closing + NOISE_MINUTES
            if serves and self._put_on(unit, start, own):
                heapq.heapreplace(self.hands, start)
                self.minutes_left -= self.work.swap_minutes
                heapq.heappush(self.units, unit)
            else:
                idle.append(unit)
        self.units += idle

    def _put_on(self, unit: "_Unit", start: float, own: bool) -> bool:
        queue = self.queues[unit.kind]
        if own and unit.failed is not None:
            queue.wait_again(unit.failed)
            unit.failed = None
        chosen = queue.take(self._closing - start, own)
        if chosen is None:
            return False
        minutes, plate = chosen
        unit.free_at = start + minutes
        self.runs.append(Run(unit.kind, unit.unit, plate, plate in queue.failed, start, unit.free_at))
        if plate is not None:
            self.last_end = max(self.last_end, unit.free_at)
            if self.failures[plate]:
                self.failures[plate] -= 1
                unit.failed = (minutes, plate)
        return True

    def _done_at(self) -> float:
        """When the last plate can be taken off, as far as is known today; the end of time while some are
        waiting."""
        if self.coming or any(queue.plates for queue in self.queues) or any(u.failed for u in self.units):
            return float("inf")
        return max(self.last_end, self.days.opening[self.day])


@dataclass(order=True, slots=True)
class _Unit:
    free_at: float
    order: int
    kind: int = field(compare=False)
    unit: int = field(compare=False)
    failed: tuple[float, int] | None = field(compare=False, default=None)


class _Queue:
    """What waits for one kind of printer: promised runs, then plates by their length."""

    def __init__(self, kind: PrinterWork, comes: Mapping[int, date]) -> None:
        self.kind, self.promised = kind, kind.promised
        here = (each for each in reversed(kind.plates) if each[1] not in comes)
        self.plates = [(minutes, -plate) for minutes, plate in here]
        self.failed: set[int | None] = set()

    @property
    def waiting_minutes(self) -> float:
        """Of promised runs."""
        whole = max(0, self.promised - 1)
        return whole * self.kind.longest_minutes + (self.kind.rest_minutes if self.promised else 0.0)

    def wait(self, plate: tuple[float, int]) -> None:
        insort(self.plates, (plate[0], -plate[1]))

    def wait_again(self, failed: tuple[float, int]) -> None:
        self.wait(failed)
        self.failed.add(failed[1])

    def take(self, minutes_to_closing: float, own: bool) -> tuple[float, int | None] | None:
        """The next run as (minutes, plate), or None when nothing may start."""
        if self.promised:
            self.promised -= 1
            return (self.kind.longest_minutes if self.promised else self.kind.rest_minutes), None
        if not own or not self.plates:
            return None
        fitting = bisect_right(self.plates, minutes_to_closing, key=lambda plate: plate[0])
        minutes, plate = self.plates.pop(fitting - 1)  # -1 is the longest of all
        return minutes, -plate
