"""Jobs that are booked from elsewhere, which the calendar's page shows and does not change, and what is taken
in all, by how it was booked."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date

from studio.making.booked import Amounts, Kind, summed, takes, unplaced
from studio.pricing.rate_book import RateBook
from studio.voice import Voice
from studio.workshop.bookings import BookedJob, open_jobs

__all__ = ["JobShown", "TakenShown", "jobs_shown", "taken_shown"]

STANDS = {"firm": "sold", "released": "in the workshop"}


@dataclass(frozen=True)
class JobShown:
    """`stands` is its state in words; figures are by name, as "Large bed 6 h, Small bed 40 h"; `van` is in
    days, or says which. `gone` names kinds of printer that it is booked on and today's rates do not have."""

    source: str
    words: str
    stands: str
    printing: str
    people: str
    filament: str
    van: str
    gone: str


@dataclass(frozen=True)
class TakenShown:
    """Of one thing, what is sold, held for a proposal, and typed by hand; `unknown` where today's rates do
    not have it."""

    what: str
    sold: str
    held: str
    typed: str
    together: str
    unknown: bool


def jobs_shown(voice: Voice, on: date, book: RateBook) -> list[JobShown]:
    """Those that take something on a day."""
    return [_shown(job, voice, book) for job in _taking(on)]


def taken_shown(voice: Voice, on: date, book: RateBook) -> list[TakenShown]:
    """Printers in the order of the rates, then people, filaments and the van; nothing where nothing from
    elsewhere is booked."""
    jobs = _taking(on)
    held = summed(job.amounts for job in jobs if job.state == "held")
    sold = summed(job.amounts for job in jobs if job.state != "held")
    typed = summed(job.amounts for job in open_jobs(by_hand=True))
    return list(_taken((sold, held, typed), voice, book)) if jobs else []


def _taking(on: date) -> list[BookedJob]:
    return [job for job in open_jobs(by_hand=False) if takes(job.state, job.held_until, on)]


def _shown(job: BookedJob, voice: Voice, book: RateBook) -> JobShown:
    people = job.total("people minutes") / 100
    return JobShown(
        source=job.source,
        words=job.words or "without a name",
        stands=f"held until {voice.day(job.held_until)}" if job.held_until else STANDS[job.state],
        printing=_by_name(job, "printer minutes", voice.hours),
        people=_unbroken(voice.hours(people)) if people else "",
        filament=_by_name(job, "grams", lambda grams: _grams(grams, voice)),
        van=_van(job, voice),
        gone=", ".join(unplaced(job.amounts, [printer.name for printer in book.printers])),
    )


def _taken(parts: tuple[Amounts, ...], voice: Voice, book: RateBook) -> Iterator[TakenShown]:
    known = {
        "printer minutes": [printer.name for printer in book.printers],
        "grams": [filament.name for filament in book.filaments],
    }
    said: dict[Kind, tuple[str, Callable[[float], str]]] = {
        "printer minutes": ("Printing on {}", voice.hours),
        "people minutes": ("People’s work", voice.hours),
        "grams": ("{}", lambda grams: _grams(grams, voice)),
        "van days": ("Days of the van", voice.quantity),
    }
    for kind, (what, say) in said.items():
        named = known.get(kind, [""])
        there = {name if kind in known else "" for part in parts for each, name in part if each == kind}
        for name in [name for name in named if name in there] + sorted(there.difference(named)):
            figures = [_sum(part, kind, name if kind in known else None) for part in parts]
            sold, held, typed, together = (_unbroken(say(n)) if n else "" for n in (*figures, sum(figures)))
            yield TakenShown(what.format(name), sold, held, typed, together, name not in named)


def _sum(part: Amounts, kind: Kind, name: str | None) -> float:
    """Of all names where none is asked for."""
    return sum(n for (each, named), n in part.items() if each == kind and name in (None, named)) / 100


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


def _grams(grams: float, voice: Voice) -> str:
    return f"{voice.quantity(grams)} g"


def _unbroken(figure: str) -> str:
    """Its unit stays beside it."""
    return figure.replace(" ", "\u00a0")
