"""Whether an issue can still be decided, and whether what was said decides it. No database, no clock."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from studio.problem import Conflict, Problem, refuse_all
from studio.voice import day, said

__all__ = ["Reply", "Standing", "judge", "why_closed"]

LONGEST_NAME = 200
LONGEST_REASON = 2000


@dataclass(frozen=True, slots=True)
class Standing:
    """An issue as it stands: `letters` are its options, `decided` what was said already, in words. Options of
    a space that is not `measured` have no firm price, so none can be approved. `ready` is the day that each
    option would be agreed to be ready on, where one can be named."""

    seal: str
    letters: tuple[str, ...]
    issued_on: date
    valid_until: date
    state: str
    link_open: bool = True
    decided: str = ""
    measured: bool = True
    ready: Mapping[str, date] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Reply:
    """What was said. `seal` is the one on the page or paper that was read; `said_on` the day of saying it;
    `ready_on` the day of being ready that the page named for the chosen option."""

    answer: str
    letter: str
    who: str
    authority: str
    how: str
    seal: str
    said_on: date
    reason: str = ""
    ready_on: date | None = None


def why_closed(standing: Standing, today: date) -> Problem | None:
    """Why nothing can be decided any more; None while it can."""
    if standing.decided:
        return Problem("answer", standing.decided, "ask the studio if something should change")
    if standing.state == "superseded":
        return Problem("answer", "a later issue has replaced this one", "decide on the later issue")
    if standing.state == "withdrawn" or not standing.link_open:
        return Problem("answer", "the studio has withdrawn this issue", "ask the studio for a new one")
    if today > standing.valid_until:
        return Problem("answer", "the time for which this price holds is over", "ask the studio to renew it")
    return None


def judge(standing: Standing, answer: Reply, today: date) -> None:
    """Raises Conflict where the issue cannot be decided any more or another one was read, Refused where the
    answer is incomplete."""
    closed = why_closed(standing, min(answer.said_on, today))
    if closed:
        raise Conflict(closed)
    if answer.seal.replace(" ", "").lower() != standing.seal:
        raise Conflict.because(
            "seal", "what you read is not what stands here now", "read this page again, then answer"
        )
    problems = _problems(standing, answer, today)
    moved = _moved(standing, answer)
    if moved and not any(problem.field in ("letter", "said_on") for problem in problems):
        raise Conflict(moved, *problems)
    refuse_all(problems)


def _moved(standing: Standing, answer: Reply) -> Problem | None:
    """Nobody agrees to a day that they did not read; where none can be named, to none."""
    now = standing.ready.get(answer.letter)
    if answer.answer != "approved" or now == answer.ready_on:
        return None
    if now is None:
        reason = "no day of being ready can be named at the moment"
        if answer.ready_on:
            reason = said(reason + ": it cannot be {} as it said", day(answer.ready_on))
        return Problem("ready_on", reason, "answer again if a day that we tell you will do")
    if answer.ready_on is None:
        reason = said("it is ready by {}, which was not on what you read", day(now))
    else:
        reason = said("it is ready by {} now, not by {} as it said", day(now), day(answer.ready_on))
    return Problem("ready_on", reason, "answer again if that day will do")


def _problems(standing: Standing, answer: Reply, today: date) -> list[Problem]:
    found = []
    if answer.answer not in ("approved", "declined"):
        found.append(Problem("answer", f"found {answer.answer[:40]!r}", "approve one option, or decline"))
    if answer.answer == "approved" and answer.letter not in standing.letters:
        reason = "no option is chosen" if not answer.letter else f"there is no option {answer.letter[:10]!r}"
        found.append(Problem("letter", reason, f"choose one of {', '.join(standing.letters)}"))
    if answer.answer == "approved" and not standing.measured:
        reason = "the space has not been measured yet, so there is no firm price to approve"
        found.append(Problem("letter", reason, "measure it, then decide on the issue that follows"))
    if answer.answer == "approved":
        found += _by_whom(answer)
    if len(answer.who) > LONGEST_NAME:
        found.append(Problem("who", f"this name has {len(answer.who)} characters", "at most 200"))
    if len(answer.reason) > LONGEST_REASON:
        found.append(Problem("reason", f"this text has {len(answer.reason)} characters", "at most 2000"))
    if not standing.issued_on <= answer.said_on <= today:
        found.append(
            Problem("said_on", "this day is not between the issue and today", "give the day it was said")
        )
    return found


def _by_whom(answer: Reply) -> list[Problem]:
    found = []
    if not answer.who.strip():
        found.append(Problem("who", "no name is given", "type the name of the person who approves"))
    if not answer.authority.strip():
        reason = "it is not said that this person may order"
        found.append(Problem("authority", reason, "tick that you may order this, or say who may"))
    if len(answer.authority) > LONGEST_NAME:
        found.append(Problem("authority", f"this text has {len(answer.authority)} characters", "at most 200"))
    return found
