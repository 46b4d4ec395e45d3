"""The fields of a form as a tree, in which lines of lists have keys, and back."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from studio.forms import Form, are_lines, unfolded
from studio.merging import Path, Rows, Tree, Whole

__all__ = ["PLAIN", "Known", "by_path", "fields_of", "first_part", "is_key", "part_of", "saved", "tree_of"]

OURS = {"made_from", "seen", "choose"}


@dataclass(frozen=True)
class Known:
    """What must be known of a form to merge it. `lists`: the names of its lists, each with the fields that
    tell one line from another; without any, only "key" does. `whole`: records that stand or fall as one.
    `said` gives a value as people read it, from its field's name and its text; "" is as it is typed. `words`
    are those names of fields that are no words."""

    lists: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    whole: frozenset[str] = frozenset()
    said: Callable[[str, str], str] = lambda _name, _text: ""
    words: Mapping[str, str] = field(default_factory=dict)


PLAIN = Known()


def tree_of(values: Mapping[str, str], known: Known = PLAIN) -> Any:
    """Fields one within another, in which lists are Rows and what goes together is a Whole."""
    return _grown(unfolded(saved(values)), known)


def by_path(form: Form, known: Known = PLAIN) -> dict[str, str]:
    """A form's texts by their dotted paths, in which lines have keys."""
    tree = tree_of(form.values, known)
    return {".".join(path): text for _name, text, path in fields_of(tree, known)}


def part_of(texts: Mapping[str, str], path: str) -> dict[str, str]:
    """What lies at a dotted path."""
    return {name: text for name, text in texts.items() if name == path or name.startswith(f"{path}.")}


def saved(values: Mapping[str, str]) -> dict[str, str]:
    """The fields that belong to what is saved, not to the merge itself."""
    return {name: text for name, text in values.items() if first_part(name) not in OURS}


def first_part(name: str) -> str:
    return name.partition(".")[0]


def _grown(node: Any, known: Known, kind: str = "") -> Any:
    if not isinstance(node, dict):
        return node
    if kind in known.lists and (are_lines(node) or not node):
        return _rows(node, known, kind)
    parts = {name: _grown(part, known, f"{kind}.{name}" if kind else name) for name, part in node.items()}
    for each in known.lists:  # a list without a line is there
        parent, _dot, name = each.rpartition(".")
        if parent == kind:
            parts.setdefault(name, Rows())
    return Whole(parts) if kind in known.whole else parts


def _rows(lines: dict[str, Any], known: Known, kind: str) -> Rows:
    found, fields = Rows(), known.lists[kind]
    for number in sorted(lines, key=int):
        line = _grown(lines[number], replace(known, whole=frozenset()), kind)
        if not isinstance(line, dict):
            found[f"#{number}"] = line
            continue
        key = line.pop("key", "") or "/".join(str(line.get(name, "")) for name in fields)
        if any(line.values()) or fields:  # a line that only its key tells from others is none when empty
            found[key if key and key not in found else f"{key}#{number}"] = line
    return found


def fields_of(tree: Tree, known: Known, name: str = "", kind: str = "") -> Iterator[tuple[str, str, Path]]:
    """The fields of a tree: name on the page, text, path in the tree."""
    if not isinstance(tree, dict):
        yield name, tree or "", ()
        return
    for number, (key, part) in enumerate(tree.items()):
        rows = isinstance(tree, Rows)
        here, inner = str(number) if rows else key, kind if rows else f"{kind}.{key}" if kind else key
        full = f"{name}.{here}" if name else here
        for leaf, text, path in fields_of(part, known, full, inner):
            yield leaf, text, (key, *path)
        if rows:
            yield f"{full}.key", "" if "#" in key else key, (key, "key")


def is_key(name: str, known: Known) -> bool:
    """Keys are the page's, but for lists whose lines nothing else tells apart."""
    kind = ".".join(part for part in name.split(".")[:-1] if not part.isdecimal())
    return name.endswith(".key") and bool(known.lists.get(kind))
