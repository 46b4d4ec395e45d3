"""The day of being ready that a page names for each option: the promised one, what it is as of now, the one
that was agreed, the final one."""

from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass
from datetime import date
from typing import Any

from studio.making.promised_day import PromisedDay
from studio.problem import Refused
from studio.proposals.models import Decision
from studio.proposals.shown import voice_in
from studio.proposals.stored import Stored
from studio.voice import Voice
from studio.workshop.shop import readable_calendar

__all__ = ["DayShown", "days_named", "days_shown", "promises_of"]


@dataclass(frozen=True, slots=True)
class DayShown:
    """`iso` is what an answer posts back; `why` says under which condition, or by what it was settled.
    `moved` where it is no longer the day that was issued."""

    iso: str
    text: str
    why: str
    moved: bool = False


def promises_of(figures: Mapping[str, Any]) -> dict[str, PromisedDay]:
    """By letter, from a frozen document of any schema."""
    return {option["letter"]: _promise(option["estimate"]) for option in figures["options"]}


def _promise(found: Mapping[str, Any]) -> PromisedDay:
    return PromisedDay(
        date.fromisoformat(found.get("held_on", found["ready_on"])),
        date.fromisoformat(found["starts_on"]),
        found.get("held_working_days", found["working_days"]),
    )


def days_named(stored: Stored, as_of: date) -> dict[str, PromisedDay]:
    """What can be agreed to on a day, by letter; an option for which the calendar has no day is not among
    them. Where the workshop's calendar cannot be read, the newest that can be counts."""
    promised = promises_of(stored.figures)
    if all(as_of <= promise.starts_on for promise in promised.values()):
        return promised
    calendar, named = readable_calendar()[0], {}
    for letter, promise in promised.items():
        with suppress(Refused):
            named[letter] = promise.as_of(as_of, calendar)
    return named


def days_shown(stored: Stored, decision: Decision | None, as_of: date | None) -> dict[str, DayShown]:
    """By letter; `as_of` is None where nothing can be decided any more: then what was issued stays."""
    voice, promised = voice_in(stored.figures), promises_of(stored.figures)
    named = promised if as_of is None else days_named(stored, as_of)
    shown = {letter: _shown(named.get(letter), was, voice) for letter, was in promised.items()}
    if decision and decision.agreed_on:
        shown[decision.letter] = _agreed(decision, promised[decision.letter], voice)
    return shown


def _shown(now: PromisedDay | None, was: PromisedDay, voice: Voice) -> DayShown:
    if now is None:
        return DayShown("", "a day that we tell you", "at the moment none can be named", moved=True)
    days, start = voice.count(now.working_days, "working day"), voice.day(now.starts_on)
    why = f"{days} from cleared deposit and approved colours, if that is by {start}"
    if now != was:
        why += f" (issued as {voice.day(was.ready_on)}, for a start by {voice.day(was.starts_on)})"
    return DayShown(now.ready_on.isoformat(), voice.day(now.ready_on), why, moved=now != was)


def _agreed(decision: Decision, was: PromisedDay, voice: Voice) -> DayShown:
    agreed_on, released = decision.agreed_on, getattr(decision, "release", None)
    if agreed_on is None:
        raise TypeError("nothing was agreed")
    text = voice.day(agreed_on)
    if released:
        final, why = voice.day(released.final_on), f"the final day; {text} was agreed"
        return DayShown(released.final_on.isoformat(), final, why, moved=True)
    why = f"the day that was agreed on {voice.day(decision.said_on)}"
    return DayShown(agreed_on.isoformat(), text, why, moved=agreed_on != was.ready_on)
