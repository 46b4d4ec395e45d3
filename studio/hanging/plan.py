"""How a panel hangs on a wall: which hangers, where, and what each has to hold."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal

from studio.hanging.catalogue import Hanger, Hanging
from studio.hanging.centre import Hung, hung_modules
from studio.hanging.joints import JointLoad, joint_loads, joint_problems
from studio.hanging.places import Places, places_for
from studio.hanging.statics import newtons, pull_out_n, worst_share
from studio.lattice.bill import Bill
from studio.lattice.composition import Composition
from studio.lattice.edging import Run, edging_runs
from studio.problem import Refused, refuse_all
from studio.voice import load, mass, number, said

__all__ = ["Fixed", "HangingPlan", "plan_hanging"]

FIELD, CATALOGUE = "design.hanger", "rate_book.hangers"
CREEPS = (
    "Printed hangers creep under a load that stays: they are taken times the studio's creep factor, and "
    "are to be "
    "looked at every year."
)
LIFT = (
    "Hangers do not keep a panel from being lifted off, and a pull at its lower edge lifts it: fix a catch "
    "or a screw at the lower edge, so that it cannot come off them."
)


@dataclass(frozen=True, eq=False)
class Fixed:
    """One module's hangers. `load_g` is the most that one of them carries when no more than two touch the
    wall (a rail carries all), `needed_g` that with the factors. `hole_load_g` is the most on one wall fixing,
    with no factor. `pull_n` is the tension in one hanger's fixings from `moment_nmm`, the weight times how
    far its centre is off the wall."""

    hung: Hung
    places: Places
    load_g: float
    needed_g: float
    hole_load_g: float
    moment_nmm: float
    pull_n: float


@dataclass(frozen=True, eq=False)
class HangingPlan:
    """How a panel hangs: a kind of hanger for all modules, which are in the bill's order. `projection_mm` is
    from the wall to the panel's front. `notes` say what is to be watched."""

    hanger: Hanger
    modules: tuple[Fixed, ...]
    joints: tuple[JointLoad, ...]
    projection_mm: float
    notes: tuple[str, ...]

    @property
    def hangers(self) -> int:
        return sum(len(module.places.across_mm) for module in self.modules)

    @property
    def needed_g(self) -> float:
        return max(module.needed_g for module in self.modules)


@dataclass(frozen=True, slots=True)
class _Asked:
    composition: Composition
    bill: Bill
    hung: tuple[Hung, ...]
    runs: tuple[Run, ...]
    hanging: Hanging
    factor: float
    behind_mm: float


def plan_hanging(
    composition: Composition,
    bill: Bill,
    part_g: Sequence[float],
    evenly_g: float,
    hanging: Hanging,
    safety_factor: float,
    chosen: str = "",
    behind_mm: float = 0.0,
) -> HangingPlan:
    """The plan of the hanger that costs least of those that hold and find a place, or of the chosen one.

    `part_g` are the grams of one of each of the bill's parts, `evenly_g` what lies evenly over the panel,
    `behind_mm` what lies between its back and the hangers (light, backing). Raises Refused where no hanger
    holds, none finds a place, the chosen one is not there or not allowed, or a joint holds too little.
    """
    hung = hung_modules(composition, bill, part_g, evenly_g)
    runs = tuple(edging_runs(bill.fit, bill.sections, bill.modules))
    asked = _Asked(composition, bill, hung, runs, hanging, safety_factor, behind_mm)
    choice = _choice(hanging, chosen)
    refusals: dict[str, Refused] = {}
    for hanger in choice:
        try:
            plan = _planned(asked, hanger)
        except Refused as refused:
            refusals[hanger.code] = refused
        else:
            refuse_all(joint_problems(plan.joints, hanging.joints))
            return plan
    if not choice:
        raise Refused.because(CATALOGUE, "there are no hangers", "add one")
    raise refusals[max(choice, key=lambda each: each.rating_g).code]


def _cost(hanger: Hanger) -> tuple[Decimal, Decimal, str]:
    """Of a module, by price, then by minutes, which have no price here."""
    number = 1 if hanger.kind == "cleat rail" else 2
    return number * hanger.price, number * hanger.minutes, hanger.code


def _choice(hanging: Hanging, chosen: str) -> list[Hanger]:
    """Those to try, the cheapest first."""
    if not chosen:
        usable = (each for each in hanging.hangers if each.kind != "printed" or hanging.printed_allowed)
        return sorted(usable, key=_cost)
    own = next((each for each in hanging.hangers if each.code == chosen), None)
    if own is None:
        names = ", ".join(each.code for each in hanging.hangers)
        remedy = f"one of {names}, or none for the cheapest that holds" if names else "none"
        raise Refused.because(FIELD, f"the rate book has no hanger “{chosen}”", remedy)
    if own.kind == "printed" and not hanging.printed_allowed:
        reason = "printed hangers creep, and the rate book does not allow them"
        raise Refused.because(FIELD, reason, "a bought one, or allow them in the rate book")
    return [own]


def _planned(asked: _Asked, hanger: Hanger) -> HangingPlan:
    modules = tuple(_fixed(asked, hanger, index) for index in range(len(asked.hung)))
    joints = joint_loads(
        asked.bill,
        asked.hung,
        tuple(module.places for module in modules),
        max(module.load_g / (module.hung.mass_g or 1) for module in modules),
        asked.hanging.joints,
        backed=asked.composition.design.backing != "none",
    )
    depth_mm = float(asked.composition.design.depth_mm)
    projection_mm = hanger.off_wall_mm + asked.behind_mm + depth_mm
    return HangingPlan(hanger, modules, joints, projection_mm, tuple(_notes(hanger)))


def _notes(hanger: Hanger) -> Iterator[str]:
    if hanger.kind == "printed":
        yield CREEPS
    yield LIFT


def _fixed(asked: _Asked, hanger: Hanger, index: int) -> Fixed:
    hung, design = asked.hung[index], asked.composition.design
    places = places_for(design, asked.bill, asked.runs, index, hung, hanger)
    if places is None:
        raise _no_place(asked, hanger, index)
    load_g = _load_g(places, hung, hung.mass_g + _own_g(hanger, places))
    creep = asked.hanging.joints.creep_factor if hanger.kind == "printed" else 1.0
    needed_g = load_g * asked.factor * creep
    if needed_g > hanger.rating_g:
        raise _too_weak(asked, hanger, load_g, needed_g)
    hole_load_g = load_g * (worst_share(hanger.holes_mm, 0.0, any_two=False) or 1.0)
    out_mm = hanger.off_wall_mm + asked.behind_mm + float(design.depth_mm) / 2
    moment = newtons(hung.mass_g) * out_mm
    high_mm = places.up_mm - hung.box[1]
    pull_n = pull_out_n(newtons(load_g), out_mm, high_mm)
    return Fixed(hung, places, load_g, needed_g, hole_load_g, moment, pull_n)


def _own_g(hanger: Hanger, places: Places) -> float:
    return hanger.mass_g * len(places.across_mm)


def _load_g(places: Places, hung: Hung, mass_g: float) -> float:
    """A rail carries all."""
    if len(places.across_mm) == 1:
        return mass_g
    share = worst_share(places.across_mm, hung.x_mm)
    if share is None:  # places_for stands a pair on both sides
        raise AssertionError(places)
    return mass_g * share


def _no_place(asked: _Asked, hanger: Hanger, index: int) -> Refused:
    which = said("module {}", index + 1) if len(asked.hung) > 1 else "the panel"
    return Refused.because(
        CATALOGUE,
        said("{} finds no place on {} clear of seams and corners", hanger.text, which),
        "a wider edging, a narrower hanger, or sections that meet elsewhere",
    )


def _too_weak(asked: _Asked, hanger: Hanger, load_g: float, needed_g: float) -> Refused:
    alone = "one rail carries all, {}" if hanger.kind == "cleat rail" else "any two must carry all, {} on one"
    reason = said(
        "{} holds {}: {}, and with the factor {} that is {}",
        hanger.text, mass(hanger.rating_g, 3), said(alone, mass(load_g, 2)),
        number(needed_g / load_g if load_g else asked.factor), load(needed_g),
    )  # fmt: skip
    return Refused.because(CATALOGUE, reason, said("hangers that hold at least {} each", load(needed_g)))
