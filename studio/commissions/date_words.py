"""An option's days in words: where it is once it is hung or delivered, and what its days hang on."""

from studio.making.calendar import Dates
from studio.making.to_make import Wait
from studio.voice import Voice

__all__ = ["hangs_on", "listed", "place_words", "waits_words"]


def place_words(delivery: str, mounting: str) -> str:
    """Where the panel is after the appointment, as one says it to the client."""
    if delivery != "delivered and hung":
        return "with you"
    return "on your wall" if mounting == "wall" else "in its place"


def hangs_on(dates: Dates, voice: Voice) -> str:
    """One sentence, for the studio."""
    start, printed, ready = map(voice.weekday, (dates.starts_on, dates.printed_on, dates.ready_on))
    booked = any(run.plate is None for run in dates.runs)
    waits = waits_words([wait for wait in dates.waits if wait.needed_for != "site"], voice)
    parts = (
        f"deposit and colours by {start}",
        "the jobs that are booked before it" if booked else "",
        f"buying {waits}" if waits else "",
        f"printing until {printed}",
        f"being made and cured by {ready}",
    )
    back = dates.held_working_days - dates.working_days
    reserve = f"; {voice.count(back, 'working day')} more in case plates fail or work takes longer"
    return f"It hangs on {listed([part for part in parts if part])}{reserve if back else ''}."


def waits_words(waits: list[Wait], voice: Voice) -> str:
    """What has to be bought, with the days until it comes."""
    return listed([f"{wait.name} ({voice.count(wait.days, 'day')})" for wait in waits])


def listed(texts: list[str], last: str = "and") -> str:
    """Such as "A, B and C"."""
    return f" {last} ".join(filter(None, (", ".join(texts[:-1]), *texts[-1:])))
