"""How a panel hangs or stands, in short facts."""

from collections.abc import Iterator

from studio.drawing.furniture import FURNITURE
from studio.estimate.result import Estimate
from studio.hanging.height import height_for
from studio.hanging.standing import carried_by
from studio.hanging.statics import newtons
from studio.voice import Voice

__all__ = ["held_words"]


def held_words(found: Estimate, voice: Voice) -> Iterator[tuple[str, str]]:
    """Loads are what has to be held; what a wall holds, an installer judges."""
    if plan := found.hanging:
        hardest = max(plan.modules, key=lambda module: module.needed_g)
        load, newton = voice.mass(hardest.load_g, 2), voice.number(newtons(hardest.load_g))
        who = "it carries" if len(hardest.places.across_mm) == 1 else "any two carry all, one"
        needed = voice.load(hardest.needed_g)
        yield (
            "Hangers",
            f"{plan.hangers} × {plan.hanger.text}, each to hold {needed}: {who} {load} ({newton} N)",
        )
        pull = voice.number(max(module.pull_n for module in plan.modules), 1)
        yield (
            "Off the wall",
            f"{voice.length(plan.projection_mm)} to the front, which pulls a hanger by {pull} N",
        )
        for note in plan.notes:
            yield "To watch", voice.say(note)
    if found.brief.space.mounting == "in a frame":
        yield "Carried", voice.say(carried_by("in a frame", found.hung_mass_g))
    if found.brief.space.mounting == "wall" and found.brief.space.floor_to_bottom_mm is None:
        yield from _height(found, voice)
    if stood := found.standing:
        yield (
            "Feet",
            f"{stood.feet} × {stood.foot.text}, {voice.length(stood.foot.length_mm)} from front to back",
        )
        for note in stood.notes:
            yield "To watch", voice.say(note)


def _height(found: Estimate, voice: Voice) -> Iterator[tuple[str, str]]:
    """Where it could hang, while nobody has said where it does: over what stands below."""
    near = (FURNITURE[name] for name in found.brief.space.stands_near)
    below_mm = max((thing.height_mm for thing in near if thing.low), default=0.0)
    high = height_for(found.bill.fit.height_mm, below_mm)
    middle, bottom = voice.length(high.centre_mm, 0), voice.length(high.bottom_mm, 0)
    why = ", clear of what stands below" if below_mm else ", as pictures usually are"
    yield "Height", f"not said; its middle {middle} above the floor would put its lower edge at {bottom}{why}"
    for note in high.notes:
        yield "To watch", voice.say(note)
