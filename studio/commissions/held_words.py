"""How a panel hangs or stands, in short facts."""

from collections.abc import Iterator

from studio.estimate.result import Estimate
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
    if stood := found.standing:
        yield (
            "Feet",
            f"{stood.feet} × {stood.foot.text}, {voice.length(stood.foot.length_mm)} from front to back",
        )
        for note in stood.notes:
            yield "To watch", voice.say(note)
