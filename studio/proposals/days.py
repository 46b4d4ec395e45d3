"""The day of being ready that a page names for each option: the promised one, what it is as of now, the one
that was agreed, the final one."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from studio.making.promised_day import PromisedDay
from studio.problem import Problem
from studio.proposals.live_days import Named, named_days
from studio.proposals.models import Decision, ProposalIssue
from studio.proposals.shown import place_of, voice_in
from studio.proposals.stored import Stored
from studio.proposals.wanted import wanted_now
from studio.voice import Voice

__all__ = ["DayShown", "days_named", "days_shown", "promises_of"]

UNNAMED = "a day that we tell you"


@dataclass(frozen=True, slots=True)
class DayShown:
    """`iso` is what an answer posts back; `why` says under which condition, or by what it was settled.
    `moved` where it is no longer the day that was issued. `none` is for the studio alone: what keeps a day
    from being named. `hung` is where the panel is from which day on, empty where nobody brings it; `wanted`
    whether the day holds that the client gave, if they did and nothing is agreed."""

    iso: str
    text: str
    why: str
    moved: bool = False
    none: str = ""
    hung: str = ""
    wanted: str = ""


def promises_of(figures: Mapping[str, Any]) -> dict[str, PromisedDay]:
    """By letter, from a frozen document of any schema."""
    return {option["letter"]: _promise(option["estimate"]) for option in figures["options"]}


def _promise(found: Mapping[str, Any]) -> PromisedDay:
    return PromisedDay(
        date.fromisoformat(found.get("held_on", found["ready_on"])),
        date.fromisoformat(found["starts_on"]),
        found.get("held_working_days", found["working_days"]),
        date.fromisoformat(found["hung_from"]) if found.get("hung_from") else None,
    )


def days_named(issue: ProposalIssue, stored: Stored, as_of: date) -> dict[str, Named]:
    """What can be agreed to on a day, by letter."""
    return named_days(issue, stored, promises_of(stored.figures), as_of)


def days_shown(issue: ProposalIssue, stored: Stored, as_of: date | None) -> dict[str, DayShown]:
    """By letter; `as_of` is None where nothing can be decided any more: then what was issued stays, but for
    what was agreed. Of a yes from before it was written down which day was agreed, the issued one stays."""
    voice, promised = voice_in(stored.figures), promises_of(stored.figures)
    named: Mapping[str, Named] = promised if as_of is None else days_named(issue, stored, as_of)
    places = {option["letter"]: place_of(option) for option in stored.figures["options"]}
    shown = {letter: _shown(named[letter], was, places[letter], voice) for letter, was in promised.items()}
    wanted = {
        option["letter"]: option["wanted"]["text"]
        for option in stored.figures["options"]
        if "wanted" in option
    }
    if wanted and as_of and named != promised:
        wanted = wanted_now(stored.figures, named, voice, as_of)
    shown = {letter: replace(day, wanted=wanted.get(letter, "")) for letter, day in shown.items()}
    decision = getattr(issue, "decision", None)
    if decision and decision.letter and decision.agreed_days is not None:
        shown[decision.letter] = _agreed(decision, promised[decision.letter], voice)
    return shown


def _shown(now: Named, was: PromisedDay, place: str, voice: Voice) -> DayShown:
    if isinstance(now, Problem):
        none = f"{voice.say(now.reason)}: {voice.say(now.remedy)}"
        return DayShown("", UNNAMED, "at the moment none can be named", moved=True, none=none)
    days, start = voice.count(now.working_days, "working day"), voice.day(now.starts_on)
    why = f"{days} from cleared deposit and approved colours, if that is by {start}"
    moved = replace(now, hung_from=was.hung_from) != was
    if moved:
        why += f"; issued as {voice.day(was.ready_on)}"
    if moved and now.starts_on != was.starts_on:
        why += f", for a start by {voice.day(was.starts_on)}"
    hung = f"{place} from {voice.day(now.hung_from)}" if now.hung_from else ""
    if hung and was.hung_from and now != was and not moved:
        hung += f" (issued as {voice.day(was.hung_from)})"
    return DayShown(now.ready_on.isoformat(), voice.day(now.ready_on), why, moved=moved, hung=hung)


def _agreed(decision: Decision, was: PromisedDay, voice: Voice) -> DayShown:
    agreed_on, released = decision.agreed_on, getattr(decision, "release", None)
    text = voice.day(agreed_on) if agreed_on else UNNAMED
    if released:
        final, why = voice.day(released.final_on), f"the final day; {text} was agreed"
        return DayShown(released.final_on.isoformat(), final, why, moved=True)
    if agreed_on is None:
        return DayShown("", text, "none could be named when it was agreed", moved=True)
    why = f"the day that was agreed on {voice.day(decision.said_on)}"
    return DayShown(agreed_on.isoformat(), text, why, moved=agreed_on != was.ready_on)
