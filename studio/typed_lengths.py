"""Lengths in forms: shown so that nothing is lost, read as people type them."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal

from studio.lattice.length import parse_length
from studio.problem import Problem, Refused
from studio.voice import PLAIN, Said, Voice, distance, length, said

__all__ = ["TypedLengths", "as_typed", "heard", "read_lengths", "shown_length"]

SIXTEENTH_MM = Decimal("25.4") / 16
METRIC = re.compile(r"(?P<number>\d+(?:\.\d+)?) (?P<unit>mm|km)\b", re.ASCII)
NOTHING = {"0", "0 mm", '0"', "0 in", "none"}


@dataclass(frozen=True)
class TypedLengths:
    """Millimetres as text by field, which of them are approximate, and what could not be read."""

    mm: Mapping[str, str]
    approximate: frozenset[str]
    problems: tuple[Problem, ...]


def read_lengths(typed: Mapping[str, str], may_be_zero: Iterable[str] = ()) -> TypedLengths:
    """Every text in `typed` as a length."""
    mm: dict[str, str] = {}
    approximate: set[str] = set()
    problems: list[Problem] = []
    zeros = frozenset(may_be_zero)
    for name, text in typed.items():
        if name in zeros and text.strip().lower() in NOTHING:
            mm[name] = "0"
            continue
        try:
            read = parse_length(text, name)
        except Refused as refused:
            problems += refused.problems
            continue
        mm[name] = str(read.mm)
        if read.approximate:
            approximate.add(name)
    return TypedLengths(mm, frozenset(approximate), tuple(problems))


def as_typed(problem: Problem, typed: Mapping[str, str]) -> Problem:
    """What a document found in a length, told by what was typed for it."""
    text, found = typed.get(problem.field, ""), problem.reason.removeprefix("found ")
    reason, remedy = heard(problem.reason), heard(problem.remedy)
    if text and found != problem.reason:
        same = text in (found, found.strip("“”"), found.rpartition(" ")[0])  # in quotes, or with its unit
        reason = said("found {}" if same else "“{1}” is {0}", heard(found), text)
    return Problem(problem.field, reason, remedy)


def heard(text: str) -> Said:
    """The words of a document about a length or a distance, so that its figures are spoken in the studio's
    units: documents are the same for everybody, and written in millimetres and kilometres."""
    parts = [
        (length if figure["unit"] == "mm" else distance)(figure["number"]) for figure in METRIC.finditer(text)
    ]
    return said(METRIC.sub("{}", text.replace("{", "{{").replace("}", "}}")), *parts)


def shown_length(mm: Decimal | str, voice: Voice = PLAIN) -> str:
    """A length that reads back as exactly itself: inches where they are exact, else millimetres."""
    exact = Decimal(mm)
    if voice.units == "imperial" and exact >= SIXTEENTH_MM:
        text = voice.length(exact)
        if parse_length(text).mm == exact:
            return text
    return replace(voice, units="metric").length(exact, 2)
