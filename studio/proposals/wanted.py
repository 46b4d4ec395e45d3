"""What a proposal says of the day by which the client wants it: as issued, and as of now once days move."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from typing import Any

from studio.commissions.date_words import place_words
from studio.commissions.wanted import ASK_US, judged_words
from studio.making.promised_day import PromisedDay
from studio.making.wanted_by import WantedBy, wanted_by
from studio.making.working_days import working_days_of
from studio.proposals.freeze import OptionSent
from studio.proposals.live_days import Named
from studio.proposals.shown import place_of
from studio.voice import Voice
from studio.workshop.shop import readable_calendar

__all__ = ["verdicts_of", "wanted_now", "with_wanted"]

Days = Mapping[str, tuple[PromisedDay, int]]
"""By letter: the promise, and the days of the work on site."""


def with_wanted(
    sent: tuple[OptionSent, ...], wanted_on: date | None, voice: Voice, today: date
) -> tuple[OptionSent, ...]:
    """The options with what is to be said of it; as they are where no day was given."""
    if wanted_on is None:
        return sent
    days = {each.letter: (each.estimate.dates.promise, each.estimate.dates.site_days) for each in sent}
    found, brief = _judged(days, wanted_on, today), sent[0].estimate.brief
    place = place_words(brief.terms.delivery, brief.space.mounting)
    words = {letter: judged_words(letter, found, place, voice, ASK_US) for letter in found}
    return tuple(replace(each, wanted=(wanted_on, words[each.letter])) for each in sent)


def wanted_now(
    figures: Mapping[str, Any], named: Mapping[str, Named], voice: Voice, today: date
) -> dict[str, str]:
    """By letter, of the options that have a day."""
    found = verdicts_of(figures, named, today)
    places = {option["letter"]: place_of(option) for option in figures["options"]}
    return {letter: judged_words(letter, found, places[letter], voice, ASK_US) for letter in found}


def verdicts_of(figures: Mapping[str, Any], named: Mapping[str, Named], today: date) -> dict[str, WantedBy]:
    """None where the client gave no day."""
    options = [each for each in figures["options"] if "wanted" in each]
    days = {
        each["letter"]: (day, each["estimate"].get("site_days", 0))
        for each in options
        if isinstance(day := named.get(each["letter"]), PromisedDay)
    }
    return _judged(days, date.fromisoformat(options[0]["wanted"]["by"]), today) if days else {}


def _judged(days: Days, wanted_on: date, today: date) -> dict[str, WantedBy]:
    works = working_days_of(readable_calendar()[0])
    return {letter: wanted_by(wanted_on, *each, works, today) for letter, each in days.items()}
