"""A panel that stands: what a push does to it, and the foot that withstands it. Never "passed": in a public
room, with children, or where nobody knows, it is tied."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import atan2, degrees
from typing import Literal

from studio.hanging.catalogue import Foot, Hanging
from studio.hanging.statics import newtons
from studio.problem import Problem, Refused
from studio.voice import Said, at_least, length, mass, number, said

__all__ = ["FEET", "Standing", "carried_by", "foot_needed_mm", "plan_standing", "tipping_deg"]

FIELD, CATALOGUE = "space.mounting", "rate_book.feet"
FEET = 2
"""One near either end, at least."""
TIE = (
    "Tie it to the wall or the floor: the room is open to the public or children are there, or nobody has "
    "said "
    "that it is not so."
)
TIE_ANYWAY = "Tie it to the wall or the floor where it can be: a harder push than that tips it."

Mounting = Literal["in a frame", "between two surfaces"]


@dataclass(frozen=True, slots=True)
class Standing:
    """`foot_mm` is the length from front to back that withstands the push at its height, `tips_at_deg` the
    lean at which the panel with its feet falls. `tied` is asked for whatever the feet are; `notes` say it."""

    foot: Foot
    feet: int
    mass_g: float
    centre_mm: float
    foot_mm: float
    tips_at_deg: float
    tied: bool
    notes: tuple[Said | str, ...]


def foot_needed_mm(mass_g: float, push_n: float, push_height_mm: float) -> float:
    """Length of a foot, half of it before and half behind: the push turns the panel over the foot's end, F h,
    and its weight turns it back, W l / 2."""
    return 2 * push_n * push_height_mm / newtons(mass_g)


def tipping_deg(foot_mm: float, centre_mm: float) -> float:
    """Lean at which the centre of mass, so high above the floor, comes over the foot's end."""
    return degrees(atan2(foot_mm / 2, centre_mm))


def plan_standing(
    mass_g: float,
    centre_mm: float,
    panel_mm: float,
    hanging: Hanging,
    room_mm: float | None = None,
    public: bool | None = None,
    children: bool | None = None,
) -> Standing:
    """The cheapest foot of the catalogue that is long enough for the push. The panel has this mass, its
    centre so high above its lower edge, and is `panel_mm` high; `room_mm` is how deep the floor is there.

    A push above the panel's upper edge is taken at that edge. Raises Refused where no foot is long enough, or
    a foot that is does not fit the room.
    """
    found = [_stood(foot, mass_g, centre_mm, panel_mm, hanging, public, children) for foot in hanging.feet]
    long = [each for each in found if each.foot.length_mm >= each.foot_mm]
    if not long:
        raise _too_short(found, mass_g, panel_mm, hanging)
    fitting = [each for each in long if room_mm is None or each.foot.length_mm <= room_mm]
    if not fitting and room_mm is not None:
        raise _no_room(long, room_mm)
    return min(fitting, key=lambda each: (each.foot.price, each.foot.length_mm, each.foot.code))


def _stood(
    foot: Foot,
    mass_g: float,
    centre_mm: float,
    panel_mm: float,
    hanging: Hanging,
    public: bool | None,
    children: bool | None,
) -> Standing:
    """Feet lie on the floor, their mass counts at no height."""
    whole_g, push = mass_g + FEET * foot.mass_g, hanging.push
    high_mm = mass_g * (centre_mm + foot.height_mm) / whole_g
    at_mm = min(push.height_mm, panel_mm + foot.height_mm)
    needed = foot_needed_mm(whole_g, push.force_n, at_mm)
    tied = not (public is False and children is False)
    told = said(
        "A level push of {} N at {} ({}) asks for feet of {} from front to back; it tips when it leans {}°.",
        number(push.force_n), length(at_mm), push.source, at_least(needed, 0),
        number(tipping_deg(foot.length_mm, high_mm), 1),
    )  # fmt: skip
    notes = (told, TIE if tied else TIE_ANYWAY)
    return Standing(foot, FEET, whole_g, high_mm, needed, tipping_deg(foot.length_mm, high_mm), tied, notes)


def _too_short(found: Sequence[Standing], mass_g: float, panel_mm: float, hanging: Hanging) -> Refused:
    """Without any foot, that of a foot without mass is told."""
    push = hanging.push
    bare = foot_needed_mm(mass_g, push.force_n, min(push.height_mm, panel_mm))
    least = min((each.foot_mm for each in found), default=bare)
    told = "a push of {} N on a panel of {} asks for a foot of {}, and the longest is {}"
    longest = max((each.foot.length_mm for each in found), default=0.0)
    reason = said(told, number(push.force_n), mass(mass_g), at_least(least, 0), length(longest, 0))
    if not found:
        reason = said("{}: there is none", reason)
    return Refused.because(CATALOGUE, reason, "longer or heavier feet, or a panel that is tied or hung")


def _no_room(long: Sequence[Standing], room_mm: float) -> Refused:
    least = min(each.foot.length_mm for each in long)
    reason = said("a foot of {} is longer than the {} of floor there are", length(least), length(room_mm))
    return Refused(
        Problem(FIELD, reason, "a place with more room, heavier feet, or a panel that is tied or hung")
    )


def carried_by(mounting: Mounting, mass_g: float) -> Said:
    """What carries a panel that neither hangs nor stands on feet."""
    weight = number(newtons(mass_g), 0)
    if mounting == "in a frame":
        told = (
            "The frame's lower rail carries all, {} ({} N), on two blocks at a quarter of the width from "
            "either "
            "end, half on each; the beads keep it from falling out and carry nothing."
        )
    else:
        told = (
            "The lower surface carries all, {} ({} N); the upper one keeps the panel upright and must "
            "stay in "
            "reach when it sags: a slot deeper than that, not a clamp."
        )
    return said(told, mass(mass_g, 2), weight)
