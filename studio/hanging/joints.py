"""What the panel's own joints have to hold: whatever hangs below a seam hangs by its keys or its glue."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from studio.hanging.catalogue import Joints
from studio.hanging.centre import Hung
from studio.hanging.places import Places
from studio.lattice.bill import Bill
from studio.problem import Problem
from studio.voice import load, mass, number, said

__all__ = ["JointLoad", "joint_loads", "joint_problems", "unknown_joints"]

What = Literal["one seam key", "one glued joint", "the edging at one hanger"]
FIELDS: dict[What, str] = {
    "one seam key": "key_g",
    "one glued joint": "glue_g",
    "the edging at one hanger": "edging_g",
}


@dataclass(frozen=True, slots=True)
class JointLoad:
    """The hardest pulled joint of its kind in a panel: `load_g` hangs on one, `needed_g` is that with creep,
    `rating_g` what it holds, None where nobody has tested it."""

    what: What
    load_g: float
    needed_g: float
    rating_g: float | None

    @property
    def holds(self) -> bool | None:
        return None if self.rating_g is None else self.needed_g <= self.rating_g


def joint_loads(
    bill: Bill, hung: tuple[Hung, ...], places: tuple[Places, ...], share: float, joints: Joints, backed: bool
) -> tuple[JointLoad, ...]:
    """The hardest pulled joint of each kind; `share` is the largest of a module's weight on one hanger. None
    where a backing carries."""
    if backed and joints.backing_carries:
        return ()
    loads: dict[What, float] = {}
    for what, grams in (*_seams(bill, hung), *_edging(hung, places, share)):
        loads[what] = max(loads.get(what, 0.0), grams)
    ratings = vars(joints)
    return tuple(
        JointLoad(what, grams, grams * joints.creep_factor, ratings[FIELDS[what]])
        for what, grams in loads.items()
    )


def _seams(bill: Bill, hung: tuple[Hung, ...]) -> Iterator[tuple[What, float]]:
    """A level seam within a module, from which every section below it in its column hangs. Its keys carry;
    where it has none, its glue does."""
    below = _below(bill, hung)
    for seam in bill.seams:
        first, second = bill.sections[seam.first], bill.sections[seam.second]
        if first.column == second.column and not seam.on_site:
            if seam.keys:
                yield "one seam key", below[seam.first] / seam.keys
            else:
                yield "one glued joint", below[seam.first] / seam.joints


def _below(bill: Bill, hung: tuple[Hung, ...]) -> dict[int, float]:
    """Grams of each section with those below it in its column and module. Sections come column by column,
    from below."""
    found: dict[int, float] = {}
    for module, each in zip(bill.modules, hung, strict=True):
        for index, grams in zip(module.sections, each.section_g, strict=True):
            under = index - 1 if index - 1 in module.sections else None
            same = under is not None and bill.sections[under].column == bill.sections[index].column
            found[index] = grams + (found[index - 1] if same else 0.0)
    return found


def _edging(hung: tuple[Hung, ...], places: tuple[Places, ...], share: float) -> Iterator[tuple[What, float]]:
    for module, place in zip(hung, places, strict=True):
        if place.on == "edging":
            yield "the edging at one hanger", module.mass_g * share


def joint_problems(loads: tuple[JointLoad, ...], joints: Joints) -> Iterator[Problem]:
    """Joints that hold less than hangs on them."""
    for each in loads:
        if each.holds is False and each.rating_g is not None:
            reason = said(
                "{} on {} is {} with the factor {} for creep, and it holds {}",
                mass(each.load_g, 2), each.what, load(each.needed_g), number(joints.creep_factor),
                mass(each.rating_g, 3),
            )  # fmt: skip
            remedy = "joints nearer to each other, a backing that carries, or modules hung one by one"
            yield Problem(f"rate_book.joints.{FIELDS[each.what]}", reason, remedy)


def unknown_joints(loads: tuple[JointLoad, ...]) -> Iterator[Problem]:
    """Joints of which nobody knows what they hold."""
    for each in loads:
        if each.holds is None:
            reason = said("{} hangs on {}, and what that holds is not known", mass(each.load_g, 2), each.what)
            remedy = "test one, or give the panel a backing that carries or a rail under its lowest sections"
            yield Problem(f"rate_book.joints.{FIELDS[each.what]}", reason, remedy)
