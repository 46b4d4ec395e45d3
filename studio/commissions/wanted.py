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

__all__ = ["ASK_US", "judged_words", "read_wanted", "verdicts", "wanted_words"]

SLOT = "with a slot held"
ASK_US = "if we keep your place in the workshop: ask us"
"""What keeps the place that a later start needs, as the studio reads it and as a client does."""


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
            found[option.letter] = wanted_by(
                commission.wanted_on, dates.promise, dates.site_days, works, today
            )
    return found


def wanted_words(letter: str, found: dict[str, WantedBy], commission: Commission, voice: Voice) -> str:
    """As `judged_words`, for the studio."""
    return judged_words(letter, found, _place(commission), voice, SLOT) if letter in found else ""


def judged_words(letter: str, found: dict[str, WantedBy], place: str, voice: Voice, slot: str) -> str:
    """Whether it holds for one of the options found, which is in its `place` then unless nobody brings it,
    and what would make it hold; `slot` says how its place is kept where deposit and colours take longer."""
    verdict = found[letter]
    where = "ready" if verdict.collected is None else place
    by, there = voice.weekday(verdict.wanted_on), voice.weekday(verdict.there_on)
    judged = f"Wanted by {by}: it {'holds' if verdict.holds else 'does not hold'}"
    judged += f", {where} by {there}."
    if not verdict.holds:
        ways = list(_ways(letter, verdict, found, voice))
        return f"{judged} It would {listed(ways, 'or')}." if ways else f"{judged} {NO_WAY}"
    if verdict.start_by is None:
        return judged
    judged += f" Deposit and colours may take until {voice.weekday(verdict.start_by)}"
    later = verdict.start_by > verdict.starts_on
    return f"{judged}, after {voice.weekday(verdict.starts_on)} {slot}." if later else f"{judged}."


NO_WAY = "No option holds, not with the deposit cleared and the colours approved today."


def _place(commission: Commission) -> str:
    return place_words(TERMS.read(commission.terms).delivery, SPACE.read(commission.space.document).mounting)


def _ways(letter: str, verdict: WantedBy, found: dict[str, WantedBy], voice: Voice) -> Iterator[str]:
    if verdict.start_by:
        yield f"with deposit cleared and colours approved by {voice.weekday(verdict.start_by)}"
    if verdict.collected and verdict.collected.holds:
        yield "if it is collected"
    if others := [other for other, each in found.items() if other != letter and each.holds]:
        yield f"with option {listed(others, 'or')}"
