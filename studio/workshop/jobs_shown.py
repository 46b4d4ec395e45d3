"""Jobs that are booked from elsewhere, as the calendar's page shows them: it does not change them."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date

from studio.making.booked import Kind, takes
from studio.voice import Voice
from studio.workshop.bookings import BookedJob, open_jobs

__all__ = ["JobShown", "jobs_shown"]

STANDS = {"offered": "offered, takes nothing yet", "firm": "sold", "released": "in the workshop"}


@dataclass(frozen=True)
class JobShown:
    """`stands` is its state in words; figures are by name, as "Large bed 6 h, Small bed 40 h"; `van` is in
    days, or says which."""

    words: str
    stands: str
    printing: str
    people: str
    filament: str
    van: str


def jobs_shown(voice: Voice, on: date) -> list[JobShown]:
    return [_shown(job, voice, on) for job in open_jobs(by_hand=False)]


def _shown(job: BookedJob, voice: Voice, on: date) -> JobShown:
    people = job.total("people minutes") / 100
    return JobShown(
        words=job.words or "without a name",
        stands=_stands(job, voice, on),
        printing=_by_name(job, "printer minutes", voice.hours),
        people=_unbroken(voice.hours(people)) if people else "",
        filament=_by_name(job, "grams", lambda grams: f"{voice.quantity(grams)} g"),
        van=_van(job, voice),
    )


def _stands(job: BookedJob, voice: Voice, on: date) -> str:
    if job.held_until is None:
        return STANDS[job.state]
    day = voice.day(job.held_until)
    if takes(job.state, job.held_until, on):
        return f"held until {day}"
    return f"was held until {day}, takes nothing now"


def _by_name(job: BookedJob, kind: Kind, said: Callable[[float], str]) -> str:
    named = sorted(
        (name, hundredths / 100) for (each, name), hundredths in job.amounts.items() if each == kind
    )
    return ", ".join(f"{name} {_unbroken(said(figure))}" for name, figure in named)


def _van(job: BookedJob, voice: Voice) -> str:
    """The days themselves where they are agreed, else how many."""
    days = {name: hundredths for (kind, name), hundredths in job.amounts.items() if kind == "van days"}
    told = (
        voice.short_day(date.fromisoformat(on)) if on else voice.quantity(n / 100)
        for on, n in sorted(days.items())
    )
    return ", ".join(map(_unbroken, told))


def _unbroken(figure: str) -> str:
    """Its unit stays beside it."""
    return figure.replace(" ", "\u00a0")
