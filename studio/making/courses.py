"""Many courses of making at once: the rules of `Course`, one event of every course at a time.

Arrays have a row for each course. Plates stand in slots, kind by kind, the longest first.
"""

from datetime import date

import numpy as np
from numpy.typing import NDArray

from studio.making.days import Days
from studio.making.waiting import Waiting
from studio.making.work import NOISE_MINUTES, Work

__all__ = ["Courses", "slots_of"]

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
NONE, NEVER = -1, 10**9


def slots_of(work: Work) -> list[tuple[float, int]]:
    """(minutes, number in the plan) of every slot."""
    return [plate for kind in work.kinds for plate in kind.plates]


class Courses:
    """`before` and `after` are minutes of labour by course; `failures` how often each slot's plate fails,
    courses x slots."""

    def __init__(self, work: Work, days: Days, before: Floats, after: Floats, failures: Ints) -> None:
        self.work, self.days = work, days
        self.before, self.after, self.failures = before.copy(), after.copy(), failures.copy()
        courses, rows = len(before), np.arange(len(before))
        self.minutes = np.array([minutes for minutes, _ in slots_of(work)], dtype=float)
        self.shorter = -self.minutes  # upwards within each kind
        self.ends = np.cumsum([len(kind.plates) for kind in work.kinds])
        self.firsts = np.concatenate(([0], self.ends[:-1]))
        self.kind = np.repeat(np.arange(len(work.kinds)), [kind.count for kind in work.kinds])
        self.longest = np.array([kind.longest_minutes for kind in work.kinds], dtype=float)
        self.rest = np.array([kind.rest_minutes for kind in work.kinds], dtype=float)
        self.here = Waiting(courses, len(self.minutes))
        self.waiting = np.tile([len(kind.plates) for kind in work.kinds], (courses, 1))
        self.promised = np.tile([kind.promised for kind in work.kinds], (courses, 1))
        self.failed = np.full((courses, len(self.kind)), NONE)
        self.free = np.zeros((courses, len(self.kind)))
        self.last_end = np.zeros(courses)
        self.day = np.full(courses, NONE)
        self.now, self.closing, self.left = np.zeros(courses), np.zeros(courses), np.zeros(courses)
        self.hands = np.zeros((courses, work.hands))
        self.first_unit, self.first_hand = rows * len(self.kind), rows * work.hands
        self.first_kind, self.first_slot = rows * len(work.kinds), rows * len(self.minutes)
        self.own = np.zeros(courses, dtype=bool)
        self.printing = np.ones(courses, dtype=bool)
        self.number = np.concatenate([np.arange(kind.count) for kind in work.kinds])
        self.out = np.zeros((courses, len(self.kind)), dtype=bool)
        self.after_day = self._day_of(work.after_from)
        self.coming = self._kept_back(rows)

    def _day_of(self, day: date) -> int:
        found = self.days.on_or_after(day)
        return NEVER if found is None else found

    def _kept_back(self, rows: Ints) -> dict[int, list[int]]:
        """Slots by the number of the day on which their filament comes; until then they do not wait."""
        coming: dict[int, list[int]] = {}
        for slot, (_minutes, plate) in enumerate(slots_of(self.work)):
            if plate in self.work.comes:
                coming.setdefault(self._day_of(self.work.comes[plate]), []).append(slot)
                self.here.remove(rows, np.full(len(rows), slot))
                self.waiting[:, np.searchsorted(self.ends, slot, side="right")] -= 1
        return coming

    def go(self) -> Ints:
        """The number of the day on which the labour after printing ends, by course; the number after the
        calendar's last where no day is late enough."""
        self._next_day(np.arange(len(self.day)))
        while self.printing.any():
            unit, hand, start, can = self._next()
            on, stopped = np.flatnonzero(can), np.flatnonzero(self.printing & ~can)
            if len(on):
                self._put_on(on, unit[on], hand[on], start[on])
            if len(stopped) > len(on):  # until then they wait: most of them stop at the same hour
                self._stop(stopped)
        rows = self._finish(np.arange(len(self.day)))
        while len(rows):
            self._next_day(rows)
            rows = self._finish(rows)
        return self.day

    def _next(self) -> tuple[Ints, Ints, Floats, NDArray[np.bool_]]:
        """Which printer each course would swap next, whose hands do it, when it starts, and whether it can
        today. Printers and hands are numbered through all courses."""
        own = self.own[:, None]
        waits = (self.promised > 0) | (own & (self.waiting > 0))
        turns = waits[:, self.kind] | (own & (self.failed != NONE))
        free = np.where(turns & ~self.out if self.work.ever_out else turns, self.free, np.inf)
        unit = self.first_unit + free.argmin(axis=1)
        hand = self.first_hand + self.hands.argmin(axis=1)
        start = np.maximum(free.ravel()[unit], self.hands.ravel()[hand]) + self.work.swap_minutes
        can = self.printing & (start <= self.closing + NOISE_MINUTES) & (self.left >= self.work.swap_minutes)
        return unit, hand, start, can

    def _put_on(self, rows: Ints, unit: Ints, hand: Ints, start: Floats) -> None:
        self.hands.ravel()[hand] = start
        self.left[rows] -= self.work.swap_minutes
        kind = self.kind[unit - self.first_unit[rows]]
        self._wait_again(rows, unit)
        queue = self.first_kind[rows] + kind
        promised = self.promised.ravel()[queue]
        minutes = np.where(promised == 1, self.rest[kind], self.longest[kind])
        self.promised.ravel()[queue] = np.maximum(promised - 1, 0)
        ours = np.flatnonzero(promised == 0)
        minutes[ours] = self._put_on_own(
            rows[ours], unit[ours], kind[ours], self.closing[rows[ours]] - start[ours]
        )
        ends = start + minutes
        self.free.ravel()[unit] = ends
        self.last_end[rows[ours]] = np.maximum(self.last_end[rows[ours]], ends[ours])

    def _put_on_own(self, rows: Ints, unit: Ints, kind: Ints, room: Floats) -> Floats:
        """The minutes of the plates that go on."""
        slot = self._chosen(rows, kind, room)
        plate = self.first_slot[rows] + slot
        self.here.remove(rows, slot)
        self.waiting.ravel()[self.first_kind[rows] + kind] -= 1
        failures = self.failures.ravel()[plate]
        self.failures.ravel()[plate] = np.maximum(failures - 1, 0)
        self.failed.ravel()[unit] = np.where(failures > 0, slot, NONE)
        return self.minutes[slot]

    def _wait_again(self, rows: Ints, unit: Ints) -> None:
        """Failed plates of these printers wait once more."""
        slot = self.failed.ravel()[unit]
        back = ((slot != NONE) & self.own[rows]).nonzero()[0]
        if not len(back):
            return
        self._wait(rows[back], slot[back])
        self.failed.ravel()[unit[back]] = NONE

    def _chosen(self, rows: Ints, kind: Ints, room: Floats) -> Ints:
        """The slot of the longest waiting plate that ends before closing, else of the longest of all."""
        fitting = np.zeros(len(rows), dtype=np.int64)
        for number, (first, end) in enumerate(zip(self.firsts, self.ends, strict=True)):
            mine = np.flatnonzero(kind == number)
            fitting[mine] = first + np.searchsorted(self.shorter[first:end], -room[mine])
        chosen = self.here.first_from(rows, fitting)
        late = (chosen >= self.ends[kind]).nonzero()[0]
        chosen[late] = self.here.first_from(rows[late], self.firsts[kind[late]])
        return chosen

    def _stop(self, rows: Ints) -> None:
        """Courses in which no plate can be put on today, or none waits."""
        started = self.own[rows]
        preparing = rows[~started]
        self.before[preparing] = self._labour(self.before[preparing], preparing)
        ready = preparing[self.before[preparing] <= 0]
        self.own[ready] = True
        self.hands[ready] = np.maximum(self.hands[ready], self.now[ready, None])
        self._next_day(preparing[self.before[preparing] > 0])
        rows = rows[started]
        waits = (self.waiting[rows] > 0).any(axis=1) | (self.failed[rows] != NONE).any(axis=1)
        waits |= self.day[rows] < max(self.coming, default=NONE)
        self.now[rows] = np.where(waits, np.inf, np.maximum(self.now[rows], self.last_end[rows]))
        printed = self.now[rows] <= self.closing[rows]
        self.printing[rows[printed]] = False
        self._next_day(rows[~printed])

    def _finish(self, rows: Ints) -> Ints:
        """A day's labour after printing: those in which some is left."""
        rows = rows[self.day[rows] < len(self.days.dates)]
        begun = rows[self.day[rows] >= self.after_day]
        self.after[begun] = self._labour(self.after[begun], begun)
        return rows[(self.after[rows] > 0) | (self.day[rows] < self.after_day)]

    def _labour(self, minutes: Floats, rows: Ints) -> Floats:
        room = np.maximum(0.0, self.closing[rows] - self.now[rows]) * self.work.rate
        done = np.minimum(np.minimum(minutes, self.left[rows]), room)
        self.left[rows] -= done
        self.now[rows] += done / self.work.rate
        left = minutes - done
        return np.where(left > NOISE_MINUTES, left, 0.0)

    def _next_day(self, rows: Ints) -> None:
        """A new day in these courses; those for which there is none stop."""
        self.day[rows] += 1
        self.days.reach(int(self.day.max()))
        over = self.day[rows] >= len(self.days.dates)
        self.printing[rows[over]] = False
        rows = rows[~over]
        opening = np.array(self.days.opening)[self.day[rows]]
        self.now[rows], self.closing[rows] = opening, np.array(self.days.closing)[self.day[rows]]
        self.hands[rows] = opening[:, None]
        self.left[rows] = self.work.minutes_a_day
        self.own[rows] = self.before[rows] <= 0
        for number, slots in self.coming.items():
            here = rows[self.day[rows] == number]
            for slot in slots if len(here) else ():
                self._wait(here, np.full(len(here), slot))
        if self.work.ever_out:
            self._out_of_service(rows, opening)

    def _wait(self, rows: Ints, slot: Ints) -> None:
        self.here.add(rows, slot)
        kind = np.searchsorted(self.ends, slot, side="right")
        self.waiting.ravel()[self.first_kind[rows] + kind] += 1

    def _out_of_service(self, rows: Ints, opening: Floats) -> None:
        """What failed on a printer that is out, and is over, waits for others."""
        for day in np.unique(self.day[rows]).tolist():
            serving = np.array([kind.serving(self.days.dates[day]) for kind in self.work.kinds])
            self.out[rows[self.day[rows] == day]] = self.number >= serving[self.kind]
        over = self.out[rows] & (self.failed[rows] != NONE) & (self.free[rows] <= opening[:, None])
        for unit in over.any(axis=0).nonzero()[0]:
            here = rows[over[:, unit]]
            self._wait(here, self.failed[here, unit])
            self.failed[here, unit] = NONE
