"""What others saved while a form was open: forms carry what they were made from, and are merged with what
stands when they are saved.

A form's field "made_from" holds its values as they were shown. After a clash, "seen" tells what stood beside
each radio button ("choose.0" …): a choice counts only for what was seen.
"""

import hashlib
import json
import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from typing import Any, TypeVar

from studio.form_tree import PLAIN, Known, fields_of, first_part, is_key, saved, tree_of
from studio.forms import Chosen, Form, Reshown
from studio.lattice.length import parse_length
from studio.merging import Clash, Merged, Path, Rows, Tree, at, merge, put
from studio.problem import Refused
from studio.stored.door import Unreadable

__all__ = ["CaughtUp", "based", "caught_up", "without_later"]

Who = Callable[[str], str]
T = TypeVar("T")
DECIMAL = re.compile(r"[+-]?\d+[.,]\d+")
UNITS = re.compile(r"_(mm|km|g|percent|minutes|hours|days|g_per_cm3)$")
WORDS = {
    "widths": "width", "heights": "height", "about": "measured or not", "terms text": "your terms",
    "floor to bottom": "floor to the lower edge", "next step on": "day of the next step", "lit": "light",
}  # fmt: skip
MOST_NAMED = 6


@dataclass(frozen=True)
class CaughtUp:
    """A form merged with what stands. `form` is to be saved, `shown` is what its page shows if that is
    refused; `changed` are the dotted paths of what it changes; `told` is what others changed and is kept."""

    form: Form
    shown: Form
    changed: tuple[str, ...]

    @property
    def told(self) -> str:
        return self.shown.told

    def attempt(self, action: Callable[[], T]) -> T:
        """What `action` gives; what it refuses is shown with what others saved."""
        try:
            return action()
        except Unreadable:
            raise  # a stored row that cannot be read is no mistake of this page
        except Refused as refused:
            raise Reshown(self.shown, *refused.problems) from None


def based(form: Form, known: Known = PLAIN) -> Form:
    """A form as its page gets it: the lines of its lists have keys, and it carries what it was made from."""
    return _on_page(form, tree_of(form.values, known), known)


def caught_up(
    posted: Form, now: Form, known: Known = PLAIN, who: Who = lambda _path: "somebody else"
) -> CaughtUp:
    """What was posted, merged with what stands `now`; `who` names the person who changed what is at a dotted
    path. Raises Reshown where both changed the same and nobody has chosen."""
    made_from, standing = _stored(posted["made_from"]), saved(now.values)
    first = {first_part(name) for name in (*standing, *made_from, *known.lists)}
    typed = {name: _unix(text) for name, text in saved(posted.values).items() if first_part(name) in first}
    base, mine, theirs = (tree_of(values, known) for values in (made_from, typed, standing))
    assert isinstance(theirs, dict)  # noqa: S101 - the values of a form
    clashed = _with_choices(posted, base, mine, theirs)
    merged = merge(base, mine, theirs, _same)
    for path in clashed:  # what was asked about and is chosen is no news
        merged = replace(merged, kept=tuple(kept for kept in merged.kept if kept != path))
    told = _told(merged, theirs, base, known, who)
    if merged.clashes:
        raise _asked(posted, base, theirs, merged, known, who, told)
    shown = replace(_on_page(posted, merged.tree, known, theirs), told=told)
    form = Form({name: text for name, text in shown.values.items() if not is_key(name, known)})
    return CaughtUp(form, shown, tuple(_changed(merged.tree, theirs)))


def without_later(
    base: Form, form: Form, later: Form, known: Known = PLAIN
) -> Iterator[tuple[str, str, str]]:
    """What `later` changed since `base` and `form` has as it was then: a field in words, its value in `later`
    and that in `form`."""
    was, without, now = (tree_of(each.values, known) for each in (base, form, later))
    for path in merge(was, without, now, _same).kept:
        label = _label(path, was if at(now, path) is None else now, known)
        yield label, _said(at(now, path), path[-1], known), _said(at(without, path), path[-1], known)


def _unix(text: str) -> str:
    """Browsers send the ends of lines as networks do."""
    return text.replace("\r\n", "\n")


def _stored(text: str) -> dict[str, str]:
    """What a form was made from. Without that, nothing is known to be unchanged."""
    try:
        found = json.loads(text)
    except (ValueError, RecursionError):
        return {}
    if not isinstance(found, dict):
        return {}
    return saved({name: value for name, value in found.items() if isinstance(value, str)})


def _on_page(posted: Form, tree: Tree, known: Known, theirs: Tree = None) -> Form:
    """The tree as fields, with the page's own ones and what they are now made from."""
    fields = {name: text for name, text, _path in fields_of(tree, known)}
    first = {*(tree if isinstance(tree, dict) else ())}  # lists without a line are there too
    own = {name: text for name, text in saved(posted.values).items() if first_part(name) not in first}
    made_from = {name: text for name, text, _path in fields_of(theirs or tree, known)}
    return Form({**own, **fields, "made_from": json.dumps(made_from, separators=(",", ":"))})


def _same(path: Path, one: str, other: str) -> bool:
    return _read(path, one) == _read(path, other)


def _read(path: Path, text: str) -> object:
    """A text as it is understood: lengths in millimetres, decimals without idle zeros."""
    text = _unix(text).strip()
    if any(part.endswith("_mm") for part in path[-2:]):
        try:
            length = parse_length(text)
            return length.mm, length.approximate
        except Refused:
            pass
    return text.replace(",", ".").rstrip("0").rstrip(".") if DECIMAL.fullmatch(text) else text


def _with_choices(posted: Form, base: Tree, mine: Tree, theirs: Tree) -> list[Path]:
    """Settle what was chosen, within `base` and `mine`, and give its paths. Where somebody saved again since
    it was asked, the choice is no longer of what stands."""
    found = []
    for number, (path, seen, removed) in enumerate(_seen(posted["seen"])):
        choice, stands = posted[f"choose.{number}"], at(theirs, path)
        if removed and choice != "theirs":
            put(mine, path, None)
        if choice == "theirs" or (choice == "mine" and seen == _digest(stands)):
            put(base, path, stands)
            found.append(path)
        if choice == "theirs" and not removed:
            put(mine, path, stands)
    return found


def _seen(text: str) -> Iterator[tuple[Path, str, bool]]:
    try:
        found = json.loads(text or "[]")
    except (ValueError, RecursionError):
        return
    for entry in found if isinstance(found, list) else ():
        match entry:
            case [[*path], str(seen), bool(removed)] if path and all(isinstance(p, str) for p in path):
                yield tuple(path), seen, removed


def _digest(tree: Tree) -> str:
    text = json.dumps(tree, sort_keys=True, separators=(",", ":"))
    return hashlib.sha256(text.encode()).hexdigest()[:16]


def _asked(
    posted: Form, base: Tree, theirs: dict[str, Tree], merged: Merged, known: Known, who: Who, told: str
) -> Reshown:
    """The page again, with both values beside each field that clashes. What a line was taken out of is
    shown, so that it can be chosen."""
    before, seen = _copied(theirs), []
    for clash in merged.clashes:
        put(before, clash.path, at(base, clash.path))
        seen.append([list(clash.path), _digest(clash.theirs), clash.mine is None])
        if clash.mine is None:
            put(merged.tree, clash.path, clash.theirs)
    names = [(path, name) for name, _text, path in fields_of(merged.tree, known)]
    problems = []
    for number, clash in enumerate(merged.clashes):
        name = next(name for path, name in names if path[: len(clash.path)] == clash.path)
        label = _label(clash.path, merged.tree, known)
        problems.append(_choice(number, clash, name, label, known, who))
    shown = _on_page(posted, merged.tree, known, before)
    return Reshown(Form({**shown.values, "seen": json.dumps(seen)}, told=told), *problems)


def _copied(tree: Any) -> Any:
    """With dicts of its own, of the same kinds."""
    return type(tree)({key: _copied(part) for key, part in tree.items()}) if isinstance(tree, dict) else tree


def _choice(number: int, clash: Clash, name: str, label: str, known: Known, who: Who) -> Chosen:
    mine, theirs = (_said(part, name, known) for part in (clash.mine, clash.theirs))
    person = who(".".join(clash.path))
    reason = f"{label}: “{mine}” is typed here, “{theirs}” was saved by {person}"
    return Chosen(name, reason, "", f"choose.{number}", mine, theirs, person)


def _said(tree: Tree, name: str, known: Known) -> str:
    """A value as people read it; of a line or a whole, all that is in it."""
    if tree is None:
        return "taken out"
    if isinstance(tree, dict):
        texts = [_said(part, key, known) for key, part in tree.items() if part]
        return ", ".join(text for text in texts if text != "no")[:120] or "nothing"
    return known.said(name, tree) or {"": "nothing", "on": "yes", "off": "no"}.get(tree.strip(), tree)


def _label(path: Path, tree: Tree, known: Known) -> str:
    """What is at a path in words: a field's name, with the line that it is in."""
    line: list[str] = []
    name = ""
    for depth, part in enumerate(path, 1):
        if isinstance(at(tree, path[: depth - 1]), Rows):
            texts = (text for _name, text, _path in fields_of(at(tree, path[:depth]), PLAIN))
            line, name = [*line, next(filter(None, texts), part)], ""
        elif not part.isdecimal():
            name = known.words.get(part) or UNITS.sub("", part).replace("_", " ")
    return ", ".join((*line, WORDS.get(name, name))).removesuffix(", ")


def _told(merged: Merged, theirs: Tree, base: Tree, known: Known, who: Who) -> str:
    """What only others changed."""
    people: dict[str, dict[str, None]] = {}
    for path in merged.kept:
        label = _label(path, base if at(theirs, path) is None else theirs, known)
        people.setdefault(who(".".join(path)), {})[label] = None
    told = (f"{who} changed {_listed(labels)} meanwhile: kept." for who, labels in people.items())
    return " ".join(text[:1].upper() + text[1:] for text in told)


def _listed(labels: Iterable[str]) -> str:
    every = list(labels)
    more = len(every) - MOST_NAMED
    return ", ".join(every[:MOST_NAMED]) + (f" and {more} more" if more > 0 else "")


def _changed(tree: Tree, before: Tree, path: Path = ()) -> Iterator[str]:
    """The dotted paths of what is not as it was, those of lines that are gone too."""
    if isinstance(tree, dict) and isinstance(before, dict):
        for name in dict.fromkeys((*tree, *before)):
            yield from _changed(tree.get(name), before.get(name), (*path, name))
    elif tree != before:
        yield ".".join(path)
