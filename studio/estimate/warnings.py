"""What does not stop a price but should be said before it is promised."""

from collections.abc import Iterator, Mapping

from studio.drawing.colour_difference import alike
from studio.estimate.brief import Brief
from studio.estimate.held import Held
from studio.estimate.opening import opening_warnings
from studio.estimate.priced import Priced
from studio.hanging.joints import unknown_joints
from studio.lattice.bill import Bill
from studio.lattice.hangers import heaviest_module_g
from studio.lattice.origin import Uncertainty
from studio.lattice.tolerance import SizeError, covering_gap_mm
from studio.problem import Problem
from studio.voice import at_least, at_most, count, length, mass, said

__all__ = ["not_in_price", "warnings_for"]

HEAVY_MODULE_G = 20_000
"""More than one person should lift: common practice, no source."""


def warnings_for(
    brief: Brief, priced: Priced, error: SizeError, colours: Mapping[str, str], known: Uncertainty
) -> tuple[Problem, ...]:
    """Every warning that applies, the most consequential first. `colours` are those of the rate book's
    filaments, "#rrggbb" by name, `known` is how far it lets sizes be out."""
    bill = priced.bill
    used = {use.filament: colours[use.filament] for use in priced.plan.filaments}
    parts = (
        _light(brief, priced),
        _size(brief, bill, error),
        opening_warnings(brief.space, bill.fit.left_over_mm, known),
        _space(brief, bill, priced.held),
        _design(brief, bill),
        _colours(used),
        _making(priced),
    )
    return tuple(warning for part in parts for warning in part)


def _size(brief: Brief, bill: Bill, error: SizeError) -> Iterator[Problem]:
    """A panel has one fixed point and slots elsewhere, so all of its error may show on one side. A larger gap
    leaves room for less panel, not more left over: the remedy counts on the gap alone."""
    across_mm, up_mm = (float(brief.space.gap_mm) + left / 2 for left in bill.fit.left_over_mm)
    ways = (("wide", error.across_mm, across_mm), ("high", error.up_mm, up_mm))
    way, most_mm, free_mm = max(ways, key=lambda each: each[1] - each[2])
    if most_mm > free_mm:
        yield Problem(
            "brief.space.gap_mm",
            said(
                "the panel may come out {} too {}, and {} are free on each side",
                length(most_mm, 1),
                way,
                length(free_mm, 1),
            ),
            said(
                "leave a gap of {} on each side",
                at_least(covering_gap_mm(max(error.across_mm, error.up_mm))),
            ),
        )


def not_in_price(brief: Brief, priced: Priced) -> tuple[str, ...]:
    """What a price leaves out, and what is not known of what it is made of."""
    examples = sum(
        "example rate" in {each.origin for each in line.working.inputs} for line in priced.sheet.lines
    )
    return (
        *(problem.reason for problem in (*_way(brief), *_feet(brief, priced.held))),
        *(
            ["the space is not measured, so the price is for the size as it is given"]
            * (not brief.space.measured)
        ),
        *([said("{} of it reckoned with example rates", count(examples, "line"))] * bool(examples)),
    )


def _way(brief: Brief) -> Iterator[Problem]:
    if brief.terms.travels and brief.terms.distance_km is None:
        yield Problem(
            "brief.terms.distance_km",
            "no distance is given, so the way to the client is not in the price",
            "say how far it is",
        )


def _feet(brief: Brief, held: Held) -> Iterator[Problem]:
    """The feet are in the price where the catalogue has some."""
    if brief.space.mounting == "free-standing" and not held.standing:
        reason = "feet and a check against tipping over are not in this price"
        yield Problem("brief.space.mounting", reason, "add feet to the rate book's hanging")


def _space(brief: Brief, bill: Bill, held: Held) -> Iterator[Problem]:
    yield from _way(brief)
    if brief.space.near_heat:
        yield Problem(
            "brief.space.near_heat", "PLA softens near heat", "choose another place or another material"
        )
    yield from _feet(brief, held)
    if held.hanging:
        yield from unknown_joints(held.hanging.joints)
    if len(bill.modules) > 1:
        joints = sum(seam.on_site for seam in bill.seams)
        only = "it passes the way in only as {}, {} made on site"
        reason = said(only, count(len(bill.modules), "module"), count(joints, "joint"))
        yield Problem("brief.space.way_in", reason, "check the way in, or allow time for joining")


def _design(brief: Brief, bill: Bill) -> Iterator[Problem]:
    design = brief.design
    if design.lit and design.backing != "diffuser":
        yield Problem(
            "brief.design.backing",
            "light without a diffuser shows every lamp",
            "choose a diffuser as backing",
        )
    if design.infill_depth_mm > design.depth_mm:
        out = length(design.infill_depth_mm - design.depth_mm)
        reason = said("the infills stand {} out at the front of the lattice, where they can be knocked", out)
        remedy = said("for a flat front, infills at most {} deep", at_most(design.depth_mm))
        yield Problem("brief.design.infill_depth_mm", reason, remedy)
    if brief.space.gap_mm < 2 and min(bill.fit.left_over_mm) < 2:
        yield Problem(
            "brief.space.gap_mm",
            "hardly any gap is left for an uneven wall",
            said("leave {} or more on each side", at_least(2)),
        )


def _light(brief: Brief, priced: Priced) -> Iterator[Problem]:
    if priced.light:
        yield from priced.light.problems
    elif brief.design.lit:
        yield Problem(
            "rate_book.lighting.strips",
            "nothing is known of the light’s feeds and supplies: the rate book lists no strip",
            "list what the studio buys for lighting",
        )


def _colours(used: Mapping[str, str]) -> Iterator[Problem]:
    for pair in alike(used):
        names = f"{pair.first} and {pair.second}"
        if pair.sight:
            reason = f"{names} look alike to people who see red and green less well"
        else:
            reason = f"{names} can hardly be told apart"
        yield Problem("brief.design.arrangement", reason, "choose another colour where they lie together")


def _making(priced: Priced) -> Iterator[Problem]:
    wanted = [f"{use.spools_to_buy} {use.filament}" for use in priced.plan.filaments if use.spools_to_buy]
    if wanted:
        yield Problem(
            "shop_state.stock",
            "the shelf does not hold all the filament",
            f"buy in spools: {', '.join(wanted)}",
        )
    modules, mass_g = priced.bill.modules, priced.hung_mass_g
    heaviest_g = heaviest_module_g(mass_g, modules)
    if heaviest_g > HEAVY_MODULE_G:
        how = "as hung" if priced.bill.hangers else "in all"
        reason = said("the panel weighs {} {}", mass(mass_g), how)
        if len(modules) > 1:
            reason = said("{}, its heaviest module {}", reason, mass(heaviest_g))
        yield Problem("brief.design", reason, "plan for two people to lift it")
