"""What the board tells of bookings: held slots, what is sold but not booked, printers that are gone."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from studio.making.booked import summed, takes, unplaced
from studio.voice import Voice
from studio.workshop.bookings import BookedJob, open_jobs
from studio.workshop.books import readable_book

__all__ = ["BookingsShown", "bookings_shown"]


@dataclass(frozen=True)
class BookingsShown:
    """By a commission's public id: in words, a slot that is held or was; and which have a job that is sold.
    `gone` are kinds of printer that hours are booked on and today's rates do not have."""

    slots: Mapping[str, str]
    sold: frozenset[str]
    gone: tuple[str, ...]


def bookings_shown(voice: Voice, today: date) -> BookingsShown:
    """In three queries."""
    jobs = open_jobs(by_hand=False)
    taken = summed(job.amounts for job in jobs if takes(job.state, job.held_until, today))
    printers = [printer.name for printer in readable_book(today)[1].printers]
    return BookingsShown(
        {_of(job): _slot(job, voice, today) for job in jobs if job.held_until},
        frozenset(
            _of(job) for job in jobs if job.state in ("firm", "released") and job.source.count("-") == 1
        ),
        tuple(unplaced(taken, printers)),
    )


def _of(job: BookedJob) -> str:
    """What the sources of a commission's jobs start with (`jobs_of`)."""
    return job.source.partition("-")[0]


def _slot(job: BookedJob, voice: Voice, today: date) -> str:
    until = voice.day(job.held_until or today)
    held = takes(job.state, job.held_until, today)
    return f"Slot held until {until}" if held else f"Slot was held until {until}"
