"""A studio's own pattern, read from a document."""

from collections.abc import Mapping
from typing import Any, get_args

from studio.document import parse, parse_json
from studio.lattice.kinds import kind_of
from studio.lattice.pattern import CellForm, Pattern
from studio.lattice.patterns import patterns
from studio.lattice.sound import unsound
from studio.problem import Problem, Refused, refuse_all

__all__ = ["LONGEST_TEXT", "read_pattern"]

LONGEST_TEXT = 1_000_000
"""Characters of a document that is read at all: more than the longest pattern takes."""


def read_pattern(document: str | bytes | Mapping[str, Any]) -> Pattern:
    """The pattern in JSON text or in plain JSON values. Raises Refused with every problem that was found:
    keys and values that are none, forms of cells without strokes, strokes that make no sense, a slug that
    belongs to a pattern that comes with the program. Whether it can be printed is for `verdict`."""
    if not isinstance(document, str | bytes):
        found = parse(Pattern, document)
    elif len(document) <= LONGEST_TEXT:
        found = parse_json(Pattern, document)
    else:
        reason = f"found a text of {len(document)} characters"
        raise Refused.because("document", reason, f"at most {LONGEST_TEXT}")
    refuse_all((*_slug(found), *_forms(found), *unsound(found)))
    return found


def _slug(pattern: Pattern) -> list[Problem]:
    if pattern.slug not in {known.slug for known in patterns()}:
        return []
    reason = f"“{pattern.slug}” is a pattern that comes with the program"
    return [Problem("slug", reason, "a short name of its own")]


def _forms(pattern: Pattern) -> list[Problem]:
    """Forms of cells without strokes, or with strokes though the lattice does not have them."""
    has = kind_of(pattern.lattice).forms
    names = " and ".join([", ".join(has[:-1]), has[-1]]) if len(has) > 1 else has[0]
    problems = []
    for form in get_args(CellForm):
        key, lattice = form.replace(" ", "_"), pattern.lattice
        if form in has and not pattern.strokes(form):
            reason = f"a {lattice} lattice has {form} cells, and they have no strokes"
            problems.append(Problem(key, reason, "strokes of their own: cutting a whole piece falls apart"))
        elif form not in has and pattern.strokes(form):
            reason = f"a {lattice} lattice has no {form} cells"
            problems.append(Problem(key, reason, f"strokes for {names} cells alone"))
    return problems
