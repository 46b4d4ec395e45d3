"""What was typed into a page, and what is wrong with it.

A field's name on a page is its key in the document that it fills ("design.cell_side_mm"), so a Problem
finds its field by itself and a refused form shows again exactly what was typed.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import Any, TypeVar

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from studio.document import dump
from studio.problem import Overtaken, Problem, Refused
from studio.voice import Voice

__all__ = [
    "Chosen", "Form", "Linked", "Reshown",
    "flat", "form_page", "nested", "plain", "sentence", "status_of", "tell", "unfolded",
]  # fmt: skip

T = TypeVar("T")
DEEPEST = 20
"""Names come from outside: beyond so many parts, what is left of one is one part."""


@dataclass(frozen=True, slots=True)
class Linked(Problem):
    """A problem that is mended on another page."""

    address: str
    text: str


@dataclass(frozen=True, slots=True)
class Chosen(Problem):
    """A field that somebody else changed meanwhile, to be chosen by the radio buttons called `name`: `mine`
    and `theirs` as people read them, `who` saved."""

    name: str
    mine: str
    theirs: str
    who: str


@dataclass(frozen=True)
class Form:
    """Texts by field name, with the problems found. A tick that is not set is "off". `told` is what was
    changed meanwhile and is kept."""

    values: Mapping[str, str] = field(default_factory=dict)
    problems: tuple[Problem, ...] = ()
    told: str = ""

    @classmethod
    def posted(cls, request: HttpRequest) -> "Form":
        return cls({name: str(request.POST[name]) for name in request.POST})

    @classmethod
    def of(cls, document: object, prefix: str = "") -> "Form":
        return cls(flat(dump(document), prefix))

    def __getitem__(self, name: str) -> str:
        return self.values.get(name, "")

    def number(self, name: str) -> int:
        """A whole number that a page keeps in a field; 0 where it is none."""
        text = self[name]
        return int(text) if text.isdecimal() and len(text) < 10 else 0

    def problem(self, name: str) -> Problem | None:
        return next((problem for problem in self.problems if problem.field == name), None)

    @property
    def clashes(self) -> bool:
        """Whether somebody else changed the same meanwhile."""
        return status_of(self.problems) == 409

    def refused(self, refused: Refused) -> "Form":
        return replace(self, problems=(*self.problems, *refused.problems))

    def attempt(self, action: Callable[[], T], under: str = "") -> tuple["Form", T | None]:
        """What `action` gives, or this form with the problems for which it refused; `under` is what its
        fields' names begin with here."""
        try:
            return self, action()
        except Reshown as refused:
            return refused.form.refused(refused), None
        except Refused as refused:
            return self.refused(refused.under(under) if under else refused), None

    def document(self, prefix: str = "", empty_is_none: Iterable[str] = ()) -> dict[str, Any]:
        """The fields under `prefix` as nested JSON values; those that end in a name of `empty_is_none` are
        None when nothing is typed."""
        nones = tuple(empty_is_none)
        found: dict[str, str | None] = {}
        for name, text in self.values.items():
            if name.startswith(prefix):
                empty = not text.strip() and name.endswith(nones) if nones else False
                found[name.removeprefix(prefix)] = None if empty else text.strip()
        document: dict[str, Any] = nested(found)
        return document

    def without(self, place: str) -> "Form":
        """Without the line at `place` of a list, such as "filaments.3" or "printers.0.recipes.1"; as it is
        when none is there."""
        *folders, index = place.split(".")
        typed = self.document()
        rows: Any = typed
        for folder in folders:
            rows = _inside(rows, folder)
        if isinstance(rows, list) and index in map(str, range(len(rows))):
            del rows[int(index)]
        return Form(flat(typed))


class Reshown(Refused):
    """Refused, and another form than the one that was posted is to be shown: with what others saved."""

    def __init__(self, form: Form, *problems: Problem) -> None:
        super().__init__(*problems)
        self.form = form


def _inside(value: Any, part: str) -> Any:
    """One step into nested values; None where there is none."""
    if isinstance(value, list):
        return value[int(part)] if part in map(str, range(len(value))) else None
    return value.get(part) if isinstance(value, dict) else None


def form_page(request: HttpRequest, template: str, form: Form, **context: Any) -> HttpResponse:
    """A page around a form."""
    return render(request, template, {"form": form, **context}, status=status_of(form.problems))


def status_of(problems: Iterable[Problem]) -> int:
    """Of a page with problems: 409 when others changed the same meanwhile, 422 when something in it is
    wrong, 200 without any."""
    found = list(problems)
    changed = any(isinstance(each, Chosen | Overtaken) for each in found)
    return 409 if changed else 422 if found else 200


def sentence(problem: Problem, voice: Voice) -> str:
    """Reason and remedy as a person of this studio reads them."""
    texts = [voice.say(text).rstrip(".") for text in (problem.reason, problem.remedy) if text]
    return " ".join(f"{text[0].upper()}{text[1:]}{'' if text.endswith('?') else '.'}" for text in texts)


def tell(request: HttpRequest, refused: Refused, voice: Voice) -> None:
    """What was refused, on the page that comes next."""
    for problem in refused.problems:
        messages.warning(request, sentence(problem, voice))


def flat(value: Any, prefix: str = "") -> dict[str, str]:
    """Nested JSON values as texts by dotted name; None is an empty text, true and false "on" and "off"."""
    if isinstance(value, dict):
        items: Iterable[tuple[Any, Any]] = value.items()
    elif isinstance(value, list | tuple):
        items = enumerate(value)
    elif isinstance(value, bool):
        return {prefix: "on" if value else "off"}
    else:
        return {prefix: "" if value is None else plain(value)}
    found: dict[str, str] = {}
    for key, item in items:
        found |= flat(item, f"{prefix}.{key}" if prefix else str(key))
    return found


def plain(value: Any) -> str:
    """A float without a tail of zeros; a decimal text as it is, less zeros behind the point."""
    text = str(value)
    whole, point, part = text.partition(".")
    return whole if point and not part.strip("0") and whole.lstrip("-").isdigit() else text


def nested(values: Mapping[str, Any]) -> Any:
    """The inverse of `flat`: names whose parts are all numbers become lists, in order of the numbers."""
    return _lists(unfolded(values))


def unfolded(values: Mapping[str, Any]) -> dict[str, Any]:
    """The names' parts one within another, numbers like other names."""
    tree: dict[str, Any] = {}
    for name, value in values.items():
        *folders, leaf = name.split(".", DEEPEST)
        place = tree
        for folder in folders:
            inner = place.setdefault(folder, {})
            place = inner if isinstance(inner, dict) else {}
        place[leaf] = value
    return tree


def are_lines(tree: Mapping[str, Any]) -> bool:
    """Whether the names are the numbers of a list's lines."""
    return bool(tree) and all(key.isdecimal() and len(key) < 6 for key in tree)


def _lists(tree: Any) -> Any:
    if not isinstance(tree, dict):
        return tree
    if are_lines(tree):
        return [_lists(tree[key]) for key in sorted(tree, key=int)]
    return {key: _lists(value) for key, value in tree.items()}
