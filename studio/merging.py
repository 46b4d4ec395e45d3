"""What two people changed at once, put together: a three-way merge of trees of texts. Pure.

`base` is what both began with, `mine` what one made of it, `theirs` what the other has saved meanwhile. A
tree is a text, a record of named parts, `Rows` (a list by the keys of its lines, which come and go) or a
`Whole` (a record whose parts make sense only together); None is what is not there.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import TypeAlias

__all__ = ["Clash", "Merged", "Path", "Rows", "Tree", "Whole", "at", "merge", "put", "same_tree"]

Tree: TypeAlias = "str | dict[str, Tree] | None"
Path = tuple[str, ...]
Same = Callable[[Path, str, str], bool]


class Rows(dict[str, Tree]):
    """The lines of a list by their keys, in order. A line that is left out is taken away."""


class Whole(dict[str, Tree]):
    """Merged part by part only while all three have the same parts, else as one."""


@dataclass(frozen=True)
class Clash:
    """What both changed, and not to the same."""

    path: Path
    mine: Tree
    theirs: Tree


@dataclass(frozen=True)
class Merged:
    """`tree` has mine where they clash; `kept` is what only the other changed."""

    tree: Tree
    kept: tuple[Path, ...] = ()
    clashes: tuple[Clash, ...] = field(default=())


def merge(base: Tree, mine: Tree, theirs: Tree, same: Same, path: Path = ()) -> Merged:
    """`same` tells whether two texts of a field say the same: what is only written in another way is no
    change. Where somebody else saved nothing, the result is `mine` to the letter. Fields of a record that
    `mine` does not have are not on its page, and are theirs."""
    both = isinstance(mine, dict) and isinstance(theirs, dict) and isinstance(base, dict | None)
    if not both or _as_one(base, mine, theirs):
        return _single(base, mine, theirs, same, path)
    return _by_parts(base or {}, mine, theirs, same, path)  # type: ignore[arg-type]  # asked above


def same_tree(one: Tree, other: Tree, same: Same, path: Path = ()) -> bool:
    """Nothing and an empty text say the same."""
    if isinstance(one, dict) and isinstance(other, dict):
        names = {*one, *other}
        return all(same_tree(one.get(name), other.get(name), same, (*path, name)) for name in names)
    if isinstance(one, dict) or isinstance(other, dict):
        return False
    return (one or "") == (other or "") or (one is not None and other is not None and same(path, one, other))


def at(tree: Tree, path: Path) -> Tree:
    """The part at the end of a path; None where there is none."""
    for name in path:
        tree = tree.get(name) if isinstance(tree, dict) else None
    return tree


def put(tree: Tree, path: Path, part: Tree) -> None:
    """Set the part at the end of a path within `tree`, or take it away; nothing where the path leads
    nowhere."""
    *folders, name = path
    place = at(tree, tuple(folders))
    if isinstance(place, dict):
        if part is None:
            place.pop(name, None)
        else:
            place[name] = part


def _by_parts(
    base: dict[str, Tree], mine: dict[str, Tree], theirs: dict[str, Tree], same: Same, path: Path
) -> Merged:
    rows = isinstance(mine, Rows)
    names = dict.fromkeys((*theirs, *mine))
    parts = {
        name: merge(
            base.get(name),
            mine.get(name) if rows else mine.get(name, theirs.get(name)),
            theirs.get(name),
            same,
            (*path, name),
        )
        for name in names
    }
    return Merged(
        type(mine)({name: part.tree for name, part in parts.items() if part.tree is not None}),
        tuple(kept for part in parts.values() for kept in part.kept),
        tuple(clash for part in parts.values() for clash in part.clashes),
    )


def _single(base: Tree, mine: Tree, theirs: Tree, same: Same, path: Path) -> Merged:
    if base == theirs:
        return Merged(mine)
    if base == mine:
        return Merged(theirs, (path,))
    if same_tree(mine, theirs, same, path) or same_tree(base, theirs, same, path):
        return Merged(mine)
    if same_tree(base, mine, same, path):
        return Merged(theirs, (path,))
    return Merged(mine, clashes=(Clash(path, mine, theirs),))


def _as_one(*trees: Tree) -> bool:
    whole = any(isinstance(tree, Whole) for tree in trees)
    return whole and len({frozenset(_names(tree)) for tree in trees if tree is not None}) > 1


def _names(tree: Tree, path: Path = ()) -> Iterator[Path]:
    if not isinstance(tree, dict):
        yield path
        return
    for name, part in tree.items():
        yield from _names(part, (*path, name))
