"""The day by which a client wants it: read, and judged for every option of a commission."""

from collections.abc import Iterable, Iterator
from contextlib import suppress
from datetime import date

from studio.commissions.date_words import listed, place_words
from studio.commissions.estimating import dates_now, shop_for
from studio.commissions.models import Commission, Option
from studio.making.wanted_by import WantedBy, wanted_by
from studio.making.working_days import working_days_of
from studio.problem import Problem, Refused
from studio.stored.kinds import SPACE, TERMS
from studio.voice import Voice, count, day, said

__all__ = ["read_wanted", "verdicts", "wanted_words"]


def read_wanted(typed: str, field: str, today: date, stands: date | None = None) -> date | None:
    """From what is typed, None where nothing is. A day in the past is refused, but for the one that stands
    already. Raises Refused."""
    if not typed.strip():
        return None
    try:
        wanted_on = date.fromisoformat(typed.strip())
    except ValueError:
        raise Refused.because(field, f"found “{typed[:40]}”", "a date such as 2026-03-01, or none") from None
    if wanted_on < today and wanted_on != stands:
        reason = said("{} was {} ago", day(wanted_on), count((today - wanted_on).days, "day"))
        raise Refused(Problem(field, reason, "today or later"))
    return wanted_on


def verdicts(commission: Commission, options: Iterable[Option], today: date) -> dict[str, WantedBy]:
    """By letter, of the options that have a day now. Raises Refused where the calendar cannot be read."""
    if commission.wanted_on is None:
        return {}
    found, shop = {}, shop_for(commission, today)
    works = working_days_of(shop)
    for option in options:
        with suppress(Refused):
            dates = dates_now(option, today, shop)
            found[option.letter] = wanted_by(commission.wanted_on, dates, works, today)
    return found


def wanted_words(letter: str, found: dict[str, WantedBy], commission: Commission, voice: Voice) -> str:
    """Whether it holds for one option, and what would make it hold; empty where nothing is known."""
    if (verdict := found.get(letter)) is None:
        return ""
    by, there = voice.weekday(verdict.wanted_on), voice.weekday(verdict.there_on)
    judged = f"Wanted by {by}: it {'holds' if verdict.holds else 'does not hold'}"
    judged += f", {_where(verdict, commission)} by {there}."
    if not verdict.holds:
        ways = list(_ways(letter, verdict, found, voice))
        return f"{judged} It would {listed(ways, 'or')}." if ways else f"{judged} {NO_WAY}"
    start = verdict.start_by and voice.weekday(verdict.start_by)
    return f"{judged} Deposit and colours may take until {start}." if start else judged


NO_WAY = "No option holds, not with the deposit cleared and the colours approved today."


def _where(verdict: WantedBy, commission: Commission) -> str:
    if verdict.collected is None:
        return "ready"
    return place_words(TERMS.read(commission.terms).delivery, SPACE.read(commission.space.document).mounting)


def _ways(letter: str, verdict: WantedBy, found: dict[str, WantedBy], voice: Voice) -> Iterator[str]:
    if verdict.start_by:
        yield f"with deposit cleared and colours approved by {voice.weekday(verdict.start_by)}"
    if verdict.collected and verdict.collected.holds:
        yield "if it is collected"
    if others := [other for other, each in found.items() if other != letter and each.holds]:
        yield f"with option {listed(others, 'or')}"
