"""The studio's own plates as their page shows them: ratios, factors, ranges and failures as texts. Pure."""

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median

from studio.commissions.factor_words import kind_words
from studio.commissions.measured.keys import plate_key
from studio.making.measured import (
    ENOUGH_HOURS,
    LEAST_PLATES,
    Experience,
    Hazard,
    Measured,
    Slope,
    all_hazard,
    enough,
    experience_of,
)
from studio.pricing.rate_book import RateBook
from studio.voice import Voice

__all__ = ["FailuresShown", "KindShown", "failures_shown", "kinds_shown", "plates_shown"]

NEEDED = {1: "one more plate is needed", 2: "two more plates are needed", 3: "three more plates are needed"}


@dataclass(frozen=True)
class KindShown:
    """One printer and recipe. `needed` says how many plates are missing before there are factors."""

    text: str
    plates: str
    needed: str
    minutes: str
    grams: str
    expects: tuple[str, ...]
    failures: str
    in_use: bool


@dataclass(frozen=True)
class FailuresShown:
    """`take` is the measured rate where it may become the price's, else `why_not` says what is missing."""

    rate: str
    found: str
    take: str
    why_not: str


def plates_shown(measured: Sequence[Measured]) -> list[tuple[str, str, str, Measured]]:
    """Key, text and kind of each plate, the newest first."""
    numbered = enumerate(measured, 1)
    rows = [
        (plate_key(plate), plate.text or f"Plate {number}", kind_words(plate.printer, plate.recipe), plate)
        for number, plate in numbered
    ]
    return rows[::-1]


def kinds_shown(book: RateBook, voice: Voice) -> tuple[KindShown, ...]:
    return tuple(_kind(each, book, voice) for each in experience_of(book.measured))


def failures_shown(book: RateBook, voice: Voice) -> FailuresShown:
    hazard, rate = all_hazard(book.measured), f"{_rate(book.failures_per_hour, voice)} an hour"
    if hazard is None:
        return FailuresShown(rate, "", "", "")
    if not enough(hazard):
        few = f"Enough is {ENOUGH_HOURS} h of printing with at least one failure"
        return FailuresShown(rate, _failures(hazard, voice), "", f"{few}: our own judgement, no source.")
    return FailuresShown(rate, _failures(hazard, voice), _rate(hazard.per_hour, voice), "")


def _kind(each: Experience, book: RateBook, voice: Voice) -> KindShown:
    rows = [plate for plate in book.measured if (plate.printer, plate.recipe) == (each.printer, each.recipe)]
    good = [plate for plate in rows if not plate.failed]
    missing = LEAST_PLATES - len(good)
    printers = {printer.name: printer.recipes for printer in book.printers}
    return KindShown(
        text=kind_words(each.printer, each.recipe),
        plates=f"{len(good)}, {len(rows) - len(good)} failed" if len(rows) > len(good) else f"{len(good)}",
        needed=NEEDED.get(missing, ""),
        minutes=f"× {voice.number(each.minutes.factor, 3)}" if each.minutes else "",
        grams=f"× {voice.number(each.grams.factor, 3)}" if each.grams else "",
        expects=_expects(each, good, voice),
        failures=_failures(each.hazard, voice),
        in_use=each.printer in printers,
    )


def _expects(each: Experience, good: Sequence[Measured], voice: Voice) -> tuple[str, ...]:
    """Of a plate in the middle of those measured."""
    if each.minutes is None or each.grams is None:
        return ()
    minutes = median(plate.estimated_minutes for plate in good)
    grams = median(plate.estimated_g for plate in good)
    return _range(each.minutes, minutes, "min", voice), _range(each.grams, grams, "g", voice)


def _range(slope: Slope, computed: float, unit: str, voice: Voice) -> str:
    low, high = (voice.number(value) for value in slope.expected(computed))
    return f"{voice.number(computed)} {unit} computed: {low} to {high} {unit}"


def _failures(hazard: Hazard, voice: Voice) -> str:
    hours, high = f"{voice.number(hazard.hours, 1)} h", _rate(hazard.high, voice)
    if not hazard.failures:
        return f"none in {hours}: at most {high} an hour in 9 of 10 cases"
    told = f"{_rate(hazard.per_hour, voice)} an hour, {_rate(hazard.low, voice)} to {high} in 8 of 10 cases"
    return f"{hazard.failures} in {hours}: {told}"


def _rate(per_hour: float, voice: Voice) -> str:
    return voice.number(per_hour, 4)
