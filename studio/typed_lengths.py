"""Lengths in forms: shown so that nothing is lost, read as people type them."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal

from studio.lattice.length import parse_length
from studio.problem import Problem, Refused
from studio.voice import PLAIN, Voice

__all__ = ["TypedLengths", "as_typed", "read_lengths", "shown_length"]

SIXTEENTH_MM = Decimal("25.4") / 16
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
            length = parse_length(text, name)
        except Refused as refused:
            problems += refused.problems
            continue
        mm[name] = str(length.mm)
        if length.approximate:
            approximate.add(name)
    return TypedLengths(mm, frozenset(approximate), tuple(problems))


def as_typed(problem: Problem, typed: Mapping[str, str]) -> Problem:
    """What a document found in a length, told by what was typed for it."""
    text, found = typed.get(problem.field, ""), problem.reason.removeprefix("found ")
    if not text or found == problem.reason:
        return problem
    same = text in (found, found.strip("“”"), found.rpartition(" ")[0])  # in quotes, or with its unit
    reason = f"found {found}" if same else f"“{text}” is {found}"
    return Problem(problem.field, reason, problem.remedy)


def shown_length(mm: Decimal | str, voice: Voice = PLAIN) -> str:
    """A length that reads back as exactly itself: inches where they are exact, else millimetres."""
    exact = Decimal(mm)
    if voice.units == "imperial" and exact >= SIXTEENTH_MM:
        text = voice.length(exact)
        if parse_length(text).mm == exact:
            return text
    return replace(voice, units="metric").length(exact, 2)
